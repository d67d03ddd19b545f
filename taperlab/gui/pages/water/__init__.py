"""How deep the rig fishes: the page, and what only it uses."""
