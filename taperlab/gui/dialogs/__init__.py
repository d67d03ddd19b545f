"""Dialogs: each collects values and applies one edit when it is accepted."""
