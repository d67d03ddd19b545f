"""The layout kit of all paper: a sheet is a value that lays itself out on any page, as vectors.

``blocks.py`` holds what a sheet is made of, ``drawing.py`` the drawing of lines from the side; both
are plain frozen values without Qt. ``pages.py`` lays a sheet out for a page and a system of units,
in points, and paints it on a printer, a PDF or a picture. In between: ``letters.py`` measures and
breaks text, ``strips.py`` says how strips become pages, ``flow.py`` and ``table.py`` make strips of
blocks, ``outline.py`` and ``labelling.py`` of drawings, ``spread.py`` keeps labels apart;
``said.py`` reads values, ``marks.py`` is what is inked, ``scale_rule.py`` the rule that tells the
scale, here and on sheets of labels.

What stands in a block is a ``Value``: a sentence or a quantity is rendered only when the sheet is
laid out, so that the same sheet is read in either system. A plain text is a name, or was looked up
with ``tr``.

To add a sheet: write one function, in a module of its name in ``taperlab/gui/paper/``, that takes
a study and gives a ``Sheet``: the head block, then blocks in the order in which they are read, and
last the cautions for its work (``parts.py`` beside them makes what many sheets have). Let the
page's ``sheet()`` call it. Preview, printer, PDF, foot, page numbers and repeated headings come
with the kit; ``text_of`` (``reading.py``) gives its text to tests.
"""
