"""One belief about mass per length along a line, for every page that weighs or cuts one."""
