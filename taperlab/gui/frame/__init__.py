"""The window round the pages: start, menus, list of pages, rack."""
