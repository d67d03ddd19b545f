"""One head graded over weights and rods."""
