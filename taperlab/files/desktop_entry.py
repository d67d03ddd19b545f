"""What makes a desktop know the program: its entry, its icon, and its kind of file.

Laid out by the Desktop Entry, Shared MIME-info and Icon Theme specifications of freedesktop.org,
below a data folder such as ``~/.local/share``.
"""

from __future__ import annotations

import contextlib
import shutil
import subprocess
import sys
from pathlib import Path

from taperlab.files import disk
from taperlab.files.disk import reason
from taperlab.files.native import SUFFIX
from taperlab.files.problem import FileProblem
from taperlab.shipped import resource

MIME = "application/vnd.taperlab.bench+json"

_ENTRY = f"""\
[Desktop Entry]
Type=Application
Version=1.0
Name=Taperlab
GenericName=Fly line designer
Comment=Design, weigh and cut fly lines so that they fit the rod
Exec={{program}} %f
Icon=taperlab
Terminal=false
Categories=Science;Engineering;
Keywords=fly;line;taper;head;weight;
MimeType={MIME};
StartupWMClass=taperlab
"""

_KIND = f"""\
<?xml version="1.0" encoding="UTF-8"?>
<mime-info xmlns="http://www.freedesktop.org/standards/shared-mime-info">
  <mime-type type="{MIME}">
    <comment>Taperlab bench</comment>
    <sub-class-of type="application/json"/>
    <icon name="taperlab-bench"/>
    <glob pattern="*{SUFFIX}"/>
  </mime-type>
</mime-info>
"""


def install(folder: Path, program: str | None = None) -> tuple[Path, ...]:
    """Write all of it below a data folder; what was written. Raises FileProblem.

    program: what starts Taperlab; unless told, as this run was started.
    """
    content = {
        _places(folder)[0]: _ENTRY.format(program=program or this_program()).encode(),
        _places(folder)[1]: _KIND.encode(),
        _places(folder)[2]: resource("icons", "taperlab.svg").read_bytes(),
        _places(folder)[3]: resource("icons", "taperlab-bench.svg").read_bytes(),
    }
    for path, written in content.items():
        disk.make_folder(path.parent)
        disk.write_bytes(path, written, durable=False)
    return tuple(content)


def remove(folder: Path) -> tuple[Path, ...]:
    """Remove what ``install`` wrote; what was removed. Raises FileProblem."""
    removed = []
    for path in _places(folder):
        try:
            path.unlink()
        except FileNotFoundError:
            continue
        except OSError as error:
            raise FileProblem(
                "{file} could not be removed: {system}.", file=path, system=reason(error)
            ) from None
        removed.append(path)
    return tuple(removed)


def tell_the_desktop(folder: Path) -> None:
    """Have the desktop read again what lies in a data folder, where it has a program for that."""
    for program, inside in (
        ("update-mime-database", "mime"),
        ("update-desktop-database", "applications"),
        ("gtk-update-icon-cache", "icons/hicolor"),
    ):
        found = shutil.which(program)
        if found and (folder / inside).is_dir():
            with contextlib.suppress(OSError, subprocess.TimeoutExpired):
                subprocess.run(
                    [found, str(folder / inside)], check=False, capture_output=True, timeout=30
                )


def this_program() -> str:
    """What starts the program as this run was started, quoted as a desktop entry wants it."""
    script = Path(sys.argv[0]) if sys.argv else Path()
    beside = Path(sys.executable).with_name("taperlab")
    if getattr(sys, "frozen", False):
        words = [sys.executable]
    elif script.name == "taperlab" and script.is_file():
        words = [str(script.resolve())]
    elif beside.is_file():
        words = [str(beside)]
    else:
        words = [sys.executable, "-m", "taperlab"]
    return " ".join(map(_quoted, words))


def _quoted(word: str) -> str:
    for special in '\\"`$':
        word = word.replace(special, f"\\{special}")
    # A percent sign begins a field code, and the value is unescaped once before it is read.
    return f'"{word}"'.replace("\\", "\\\\").replace("%", "%%")


def _places(folder: Path) -> tuple[Path, ...]:
    icons = folder / "icons" / "hicolor" / "scalable"
    return (
        folder / "applications" / "taperlab.desktop",
        folder / "mime" / "packages" / "taperlab.xml",
        icons / "apps" / "taperlab.svg",
        icons / "mimetypes" / "taperlab-bench.svg",
    )
