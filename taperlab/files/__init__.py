"""Reading and writing what lies on disk. No Qt, no pint."""
