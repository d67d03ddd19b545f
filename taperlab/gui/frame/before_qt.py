"""What the window works with and Qt has no part in, to be imported before Qt is.

Once PySide is there it reads the source of each module that is imported, to see whether it uses
PySide. A start is a twentieth shorter where that is spared for numpy and for the rooms below; a
test tells which module is missing here.
"""

import numpy  # noqa: F401

import taperlab.edits.bench
import taperlab.edits.breakpoints
import taperlab.edits.cells
import taperlab.edits.figures
import taperlab.edits.goals
import taperlab.edits.lines
import taperlab.edits.values
import taperlab.files.library
import taperlab.files.names
import taperlab.files.opening
import taperlab.files.preferences
import taperlab.shop.reading
import taperlab.shop.whole
import taperlab.trade.cautions
import taperlab.units.spans
import taperlab.units.steps  # noqa: F401
