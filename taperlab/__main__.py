"""Chooses window or command line; nothing else."""

from __future__ import annotations

import sys


def main() -> int:
    """Run Taperlab with the arguments of this process and give its exit status."""
    from taperlab.cli import run

    return run(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
