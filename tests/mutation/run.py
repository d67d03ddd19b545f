"""Change the program in one small place and see whether a test fails: a run on demand.

    python -m tests.mutation.run --sample 200 --seed today
    python -m tests.mutation.run --named
    python -m tests.mutation.run --under taperlab/trade

A first run of all tests but those of the window finds which test passes which line (kept in
``--cache`` for the next run); then each mutant meets the tests that pass its line, on as many cores
as there are. Printed is every mutant that no test noticed. Hypothesis tries fewer examples than in
a usual run; ``--usual`` lets it try as many, which takes four times as long.
"""

from __future__ import annotations

import argparse
import ast
import compileall
import contextlib
import os
import py_compile
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from queue import SimpleQueue

ROOT = Path(__file__).resolve().parents[2]
ROOMS = ("physics", "trade", "shop", "edits")
TESTS = ("physics", "trade", "units", "edits", "shop", "files", "cli", "published")
CARRIED = ("taperlab", "tests", "resources", "samples", "pyproject.toml", "README.md")
TEXTS = ("Sentence", "counted", "verbatim", "later", "tr", "trn")


@dataclass(frozen=True)
class Mutant:
    """One small change: what stands from ``start`` to ``stop`` in a file is replaced."""

    file: str
    start: int
    stop: int
    new: str
    line: int
    says: str
    inside: bool = False
    """Whether it lies in a function, so that a test passes it when that is called."""

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.says}"


NAMED = (
    (
        "TIPS without sink tip",
        "shop/cut_back/one_cut.py",
        "TIPS = (Part.TIP, Part.SINK_TIP)",
        "TIPS = (Part.TIP,)",
    ),
    (
        "the rear loop dropped on a short front cut",
        "shop/cut_back/meter.py",
        "return _held(self.counted, *blades) + front_loop + rear_loop",
        "return _held(self.counted, *blades) + front_loop",
    ),
    ("lines of 160 m at most", "units/kinds.py", "_LONGEST = 914.4", "_LONGEST = 160.0"),
    (
        "a weighed section ends 10 m beyond the line",
        "edits/measure.py",
        "if rear > measurement.length + measurement.instruments.tape:",
        "if rear > measurement.length + 10.0:",
    ),
    ("50 % of rounding", "files/table.py", "MOST_ROUNDING = 0.05", "MOST_ROUNDING = 0.5"),
    (
        "whole numbers of 3,000 digits",
        "files/native.py",
        "LONGEST_WHOLE_NUMBER = 300",
        "LONGEST_WHOLE_NUMBER = 3000",
    ),
)
"""Mutants that once went unnoticed: name, file in taperlab, text that stands there once, change."""

SWAPPED: dict[type[ast.AST], type[ast.AST]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.Pow: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.And: ast.Or,
    ast.Or: ast.And,
    ast.BitAnd: ast.BitOr,
    ast.BitOr: ast.BitAnd,
}
OTHER_NAME = {"min": "max", "max": "min", "any": "all", "all": "any"}


class Finder(ast.NodeVisitor):
    """All mutants of one file."""

    def __init__(self, file: str, text: str) -> None:
        self.file, self.text = file, text
        self.found: list[Mutant] = []
        self.depth = 0
        self.starts = [0]
        for line in text.encode().splitlines(keepends=True):
            self.starts.append(self.starts[-1] + len(line))
        self.visit(ast.parse(text))

    def place(self, node: ast.expr | ast.stmt) -> tuple[int, int]:
        assert node.end_lineno is not None
        assert node.end_col_offset is not None
        start = self.starts[node.lineno - 1] + node.col_offset
        return start, self.starts[node.end_lineno - 1] + node.end_col_offset

    def source(self, node: ast.expr) -> str:
        start, stop = self.place(node)
        return self.text.encode()[start:stop].decode()

    def change(self, node: ast.expr, new: str) -> None:
        start, stop = self.place(node)
        old = " ".join(self.source(node).split())
        says = f"{old}  →  {' '.join(new.split())}"
        inside = self.depth > 0
        self.found.append(Mutant(self.file, start, stop, f"({new})", node.lineno, says, inside))

    def negated(self, test: ast.expr) -> None:
        self.change(test, f"not ({self.source(test)})")

    def visit_Compare(self, node: ast.Compare) -> None:
        for i, operator in enumerate(node.ops):
            changed = ast.Compare(node.left, list(node.ops), node.comparators)
            changed.ops[i] = SWAPPED[type(operator)]()  # type: ignore[call-overload]
            self.change(node, ast.unparse(changed))
        self.generic_visit(node)

    def visit_BinOp(self, node: ast.BinOp) -> None:
        other = SWAPPED.get(type(node.op))
        if other:
            self.change(node, ast.unparse(ast.BinOp(node.left, other(), node.right)))
        if isinstance(node.op, (ast.Add, ast.Sub)):
            self.change(node, self.source(node.left))
            self.change(node, self.source(node.right))
        self.generic_visit(node)

    def visit_BoolOp(self, node: ast.BoolOp) -> None:
        self.change(node, ast.unparse(ast.BoolOp(SWAPPED[type(node.op)](), node.values)))
        for i in range(len(node.values)):
            rest = [each for j, each in enumerate(node.values) if j != i]
            self.change(node, ast.unparse(ast.BoolOp(node.op, rest) if rest[1:] else rest[0]))
        self.generic_visit(node)

    def visit_UnaryOp(self, node: ast.UnaryOp) -> None:
        if isinstance(node.op, (ast.Not, ast.USub)):
            self.change(node, self.source(node.operand))
        self.generic_visit(node)

    def visit_If(self, node: ast.If) -> None:
        self.negated(node.test)
        self.generic_visit(node)

    def visit_IfExp(self, node: ast.IfExp) -> None:
        self.negated(node.test)
        self.generic_visit(node)

    def visit_While(self, node: ast.While) -> None:
        self.negated(node.test)
        self.generic_visit(node)

    def visit_Constant(self, node: ast.Constant) -> None:
        value = node.value
        if isinstance(value, bool):
            self.change(node, str(not value))
        elif isinstance(value, int):
            self.change(node, str(value + 1))
        elif isinstance(value, float):
            self.change(node, repr(value * 2.0 if value else 1.0))

    def visit_Call(self, node: ast.Call) -> None:
        name = node.func.id if isinstance(node.func, ast.Name) else ""
        if name in OTHER_NAME:
            args = self.source(node)[len(name) :]
            self.change(node, OTHER_NAME[name] + args)
        if name == "abs":
            self.change(node, self.source(node.args[0]))
        if name in TEXTS:  # how a thing is worded is not tested by what it says
            for keyword in node.keywords:
                self.visit(keyword)
            return
        self.generic_visit(node)

    def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
        for each in (*node.args.defaults, *filter(None, node.args.kw_defaults)):
            self.visit(each)
        self.depth += 1
        for statement in node.body:  # neither decorators nor annotations
            self.visit(statement)
        self.depth -= 1

    def visit_ClassDef(self, node: ast.ClassDef) -> None:
        for each in node.body:
            self.visit(each)

    def visit_AnnAssign(self, node: ast.AnnAssign) -> None:
        if node.value:
            self.visit(node.value)

    def visit_Raise(self, node: ast.Raise) -> None:
        """What an error says."""

    def visit_JoinedStr(self, node: ast.JoinedStr) -> None:
        """A text, too."""


def mutants_of(file: Path) -> list[Mutant]:
    """All mutants of one file of the program."""
    return Finder(str(file.relative_to(ROOT)), file.read_text(encoding="utf-8")).found


def named() -> list[tuple[str, Mutant]]:
    """The named mutants; an error where the text that one changes no longer stands there once."""
    found = []
    for name, file, old, new in NAMED:
        text = (ROOT / "taperlab" / file).read_text(encoding="utf-8")
        if text.count(old) != 1:
            raise SystemExit(f"{name}: {old!r} stands {text.count(old)} times in {file}")
        start = len(text[: text.index(old)].encode())
        line = text[: text.index(old)].count("\n") + 1
        mutant = Mutant(f"taperlab/{file}", start, start + len(old.encode()), new, line, name)
        found.append((name, mutant))
    return found


PLUGIN = """
import os, sys
from hypothesis import settings
settings.register_profile("mutation", max_examples=25, deadline=None, database=None)
if os.environ.get("TAPERLAB_MUTATION") != "usual":
    settings.load_profile("mutation")
"""

TRACED = """
import sys
sys.path[:0] = ["."]
import coverage
cover = coverage.Coverage(data_file=sys.argv[1], source=["taperlab"], config_file=False)
cover.start()
import pytest
class Contexts:
    def pytest_runtest_logstart(self, nodeid):
        cover.switch_context(nodeid)
    def pytest_runtest_logreport(self, report):
        if report.failed:
            failed.write(f"{report.nodeid}\\n")
        if report.when == "call":
            times.write(f"{report.duration:.3f} {report.nodeid}\\n")
failed = open(sys.argv[1] + ".failed", "w")
times = open(sys.argv[1] + ".times", "w")
status = pytest.main(["-q", "-p", "mutation_plugin", *sys.argv[2:]], plugins=[Contexts()])
cover.stop(); cover.save(); times.close(); failed.close()
sys.exit(status)
"""


class Lines:
    """Which tests pass which line, and how long each takes [s]."""

    def __init__(self, cache: Path) -> None:
        self.at: dict[tuple[str, int], set[str]] = {}
        self.seconds: dict[str, float] = {}
        for data in sorted(cache.glob("part-?")):
            for row in (cache / f"{data.name}.times").read_text().splitlines():
                seconds, _, test = row.partition(" ")
                self.seconds[test] = float(seconds)
            with contextlib.closing(sqlite3.connect(data)) as base:
                files = dict(base.execute("select id, path from file"))
                contexts = dict(base.execute("select id, context from context"))
                rows = base.execute("select file_id, context_id, numbits from line_bits")
                for file, context, bits in rows:
                    short = "taperlab/" + files[file].rpartition("/taperlab/")[2]
                    for i, byte in enumerate(bits):
                        for bit in range(8):
                            if byte >> bit & 1:
                                key = (short, 8 * i + bit)
                                self.at.setdefault(key, set()).add(contexts[context])

    def tests(self, mutant: Mutant) -> list[str]:
        """The tests that pass a mutant, quick ones first.

        What a module reads once, when it is imported, concerns all that use it.
        """
        passing = self.at.get((mutant.file, mutant.line), set()) if mutant.inside else set()
        if not passing - {""}:
            module = mutant.file.removesuffix(".py").replace("/", ".")
            users = {mutant.file} | {
                str(file.relative_to(ROOT))
                for file in (ROOT / "taperlab").rglob("*.py")
                if f"{module} import" in file.read_text(encoding="utf-8")
            }
            passing = set().union(*(tests for (file, _), tests in self.at.items() if file in users))
        known = [each for each in passing if each in self.seconds]
        return sorted(known, key=lambda each: (self.seconds[each], each))


class Tree:
    """A copy of the program that a mutant may live in."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        folder.mkdir(parents=True)
        for name in CARRIED:
            source = ROOT / name
            if source.is_dir():
                leave = shutil.ignore_patterns("__pycache__", "speed", "mutation")
                shutil.copytree(source, folder / name, ignore=leave)
            else:
                shutil.copy(source, folder / name)
        (folder / "mutation_plugin.py").write_text(PLUGIN)
        # Compiled once and checked by content, so that a mutant of the same length is noticed.
        checked = py_compile.PycInvalidationMode.CHECKED_HASH
        compileall.compile_dir(folder / "taperlab", quiet=2, invalidation_mode=checked)

    @contextlib.contextmanager
    def holding(self, mutant: Mutant) -> Iterator[None]:
        file = self.folder / mutant.file
        before = file.read_bytes()
        file.write_bytes(before[: mutant.start] + mutant.new.encode() + before[mutant.stop :])
        try:
            yield
        finally:
            file.write_bytes(before)

    def start(self, code: Sequence[str], **more: str) -> subprocess.Popen[bytes]:
        environment = os.environ | {
            "PYTHONDONTWRITEBYTECODE": "1",
            "PYTHONPATH": str(self.folder),
            "QT_QPA_PLATFORM": "offscreen",
            **more,
        }
        return subprocess.Popen(
            [sys.executable, *code],
            cwd=self.folder,
            env=environment,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )

    def notices(self, mutant: Mutant, tests: Sequence[str], lines: Lines, usual: bool) -> str:
        """How the tests take it: ``failed``, ``no end`` or ``passed``.

        The tests are given in portions, quick ones first: most mutants are noticed at once.
        """
        with self.holding(mutant):
            for first, last in ((0, 12), (12, 60), (60, None)):
                portion = tests[first:last]
                if not portion:
                    break
                allowed = 30.0 + 10.0 * sum(lines.seconds[each] for each in portion)
                options = ["-x", "-q", "-p", "mutation_plugin", "-p", "no:benchmark"]
                more = {"TAPERLAB_MUTATION": "usual"} if usual else {}
                run = self.start(["-m", "pytest", *options, *portion], **more)
                try:
                    status = run.wait(4.0 * allowed if usual else allowed)
                except subprocess.TimeoutExpired:
                    os.killpg(run.pid, signal.SIGKILL)
                    run.wait()
                    return "no end"
                if status != 0:
                    return "failed"
        return "passed"


def trace(tree: Tree, cache: Path, cores: int) -> None:
    """Find which test passes which line."""
    cache.mkdir(parents=True)
    files = [f for room in TESTS for f in sorted((tree.folder / "tests" / room).glob("test_*.py"))]
    runs = []
    for i in range(min(cores, 9)):
        mine = [str(file.relative_to(tree.folder)) for file in files[i::cores]]
        runs.append(tree.start(["-c", TRACED, str(cache / f"part-{i}"), *mine]))
    statuses = [run.wait() for run in runs]
    if any(statuses):
        failed = "".join(each.read_text() for each in sorted(cache.glob("*.failed")))
        shutil.rmtree(cache)
        raise SystemExit(f"the tests fail before anything is changed:\n{failed}")


def main() -> int:
    """Run, and give 1 where a named mutant survives."""
    ask = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    ask.add_argument("--named", action="store_true", help="only the mutants that have names")
    ask.add_argument(
        "--under", type=Path, nargs="+", help="only the mutants of these files or folders"
    )
    ask.add_argument("--sample", type=int, default=0, help="so many mutants, drawn at random")
    ask.add_argument("--seed", default=time.strftime("%Y-%m-%d"), help="what they are drawn by")
    ask.add_argument("--cores", type=int, default=os.cpu_count() or 1)
    ask.add_argument("--usual", action="store_true", help="as many examples as in a usual run")
    ask.add_argument("--cache", type=Path, help="folder that keeps which test passes which line")
    told = ask.parse_args()

    if told.named:
        mutants = [mutant for _, mutant in named()]
    else:
        under = [ROOT / each for each in told.under or ()]
        under = under or [ROOT / "taperlab" / each for each in ROOMS]
        files = [file for each in under for file in [each, *sorted(each.rglob("*.py"))]]
        files = [file for file in files if file.is_file()]
        mutants = [mutant for file in files for mutant in mutants_of(file)]
        print(f"{len(mutants)} mutants in {len(files)} files; seed {told.seed}")
        if told.sample:
            random.Random(told.seed).shuffle(mutants)
            mutants = sorted(mutants[: told.sample], key=str)

    with tempfile.TemporaryDirectory(prefix="mutation-") as folder:
        trees: SimpleQueue[Tree] = SimpleQueue()
        first = Tree(Path(folder) / "0")
        trees.put(first)
        for i in range(1, told.cores):
            trees.put(Tree(Path(folder) / str(i)))
        cache = told.cache or Path(folder) / "lines"
        if not cache.is_dir():
            trace(first, cache, told.cores)
        lines = Lines(cache)

        def judged(mutant: Mutant) -> str:
            tests = lines.tests(mutant)
            if not tests:
                return "no test"
            tree = trees.get()
            try:
                return tree.notices(mutant, tests, lines, told.usual)
            finally:
                trees.put(tree)

        counts: dict[str, int] = {}
        survivors = []
        with ThreadPoolExecutor(told.cores) as pool:
            for mutant, verdict in zip(mutants, pool.map(judged, mutants), strict=True):
                counts[verdict] = counts.get(verdict, 0) + 1
                if verdict in ("passed", "no test"):
                    survivors.append(mutant)
                    print(f"{verdict}: {mutant}", flush=True)
    print(", ".join(f"{count} {verdict}" for verdict, count in sorted(counts.items())))
    return 1 if told.named and survivors else 0


if __name__ == "__main__":
    sys.exit(main())
