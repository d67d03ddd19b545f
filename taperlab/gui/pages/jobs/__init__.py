"""The Jobs page and all that only it uses."""
