"""One head graded over weights and rods: its members, their figures, what to know of them."""
