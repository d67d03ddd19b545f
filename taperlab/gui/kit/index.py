"""What Qt's item views hand to models and delegates."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex

Index = QModelIndex | QPersistentModelIndex
"""A place in a model, as every override takes it."""

NO_INDEX = QModelIndex()
"""The place that is none: the parent of all rows of a list or a table."""
