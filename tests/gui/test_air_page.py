"""The Air page with keys and mouse: settings, lines laid over, the film played and written."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog, QMenu
from pytestqt.qtbot import QtBot

from taperlab.edits import lines as line_edits
from taperlab.edits.edited import Edited
from taperlab.edits.values import set_front_diameter
from taperlab.files.native import read_bench
from taperlab.files.preferences import Preferences, Theme
from taperlab.gui.frame.window import Window
from taperlab.gui.kit.motion import less_motion
from taperlab.gui.pages.air import player as players
from taperlab.gui.pages.air.page import AirPage
from taperlab.gui.paper.parts import PAPER
from taperlab.model.bench import Bench, View
from taperlab.model.casting import Cast
from taperlab.shipped import sample
from taperlab.shop.turnover.film import Ending
from taperlab.units.kinds import System
from taperlab.units.sentence import Sentence
from tests.gui.hands import (
    ENTER,
    FOOT,
    NOISE,
    button,
    choose,
    click,
    clipped,
    drag,
    keys,
    name_file,
    retype,
    settled,
    status,
    words_on,
)
from tests.gui.reading import printed

pytestmark = pytest.mark.qt_log_ignore(NOISE)

SPACE, LEFT, RIGHT = Qt.Key.Key_Space, Qt.Key.Key_Left, Qt.Key.Key_Right


def rig_bench(*overlays: str) -> Bench:
    bench = read_bench(sample("rigs.taperlab"))
    return replace(bench, view=View(line="line-1", rig="rig-1", rig_overlays=overlays, page="air"))


Show = Callable[..., tuple[Window, AirPage]]


@pytest.fixture
def show(make: Callable[..., Window]) -> Show:
    def one(
        bench: Bench | None = None, preferences: Preferences | None = None
    ) -> tuple[Window, AirPage]:
        window = make(preferences)
        window.file.put_in_hand(bench or rig_bench(), None)
        window.show_page("air")
        page = window.pages.page("air")
        assert isinstance(page, AirPage)
        settled(page)
        return window, page

    return one


class Clock:
    """Goes on when it is told to."""

    def __init__(self) -> None:
        self.now = 100.0

    def __call__(self) -> float:
        return self.now


def by_hand(page: AirPage) -> Clock:
    """Let a clock of the test's own move the film."""
    clock = Clock()
    page.player.clock = clock
    return clock


def go_on(page: AirPage, clock: Clock, seconds: float) -> None:
    clock.now += seconds
    page.player.tick()


def speeds(page: AirPage) -> tuple[float, float]:
    """Both ends of the large figure."""
    low, _, high = page.needed.figure.text().removesuffix(" ft/s").partition(" to ")
    return float(low), float(high)


# -- what is told -----------------------------------------------------------------------------


def test_a_typed_speed_turns_the_verdict(show: Show) -> None:
    window, page = show()
    low, high = speeds(page)
    retype(page.cast.speed[0], f"{high + 5:.0f} ft/s", ENTER)
    assert "it turns over in time." in page.needed.verdict.text()
    retype(page.cast.speed[0], f"{low - 5:.0f}", ENTER)
    assert "it lands before it has turned over." in page.needed.verdict.text()
    retype(page.cast.speed[0], f"{(low + high) / 2:.0f}", ENTER)
    assert "it is too close to call." in page.needed.verdict.text()
    assert speeds(page) == (low, high)  # what is needed does not hang on what is cast
    window.document.undo_stack.undo()
    assert "it lands before" in page.needed.verdict.text()


def test_height_launch_and_loop_stand_beside_the_verdict_and_move_it(show: Show) -> None:
    window, page = show()
    before = speeds(page)
    retype(page.cast.rod_tip[0], "6 ft", ENTER)
    retype(page.cast.launch[0], "-5", ENTER)
    retype(page.cast.loop[0], "2 ft", ENTER)
    assert page.needed.hangs_on.text().startswith(
        "Rod tip 6 ft above the water, thrown 5° down, loop 2 ft high"
    )
    assert speeds(page)[0] > before[0]
    throw = window.document.bench.throw
    assert throw.launch == pytest.approx(np.radians(-5.0))
    assert throw.rod_tip == pytest.approx(6.0 * FOOT)


def test_a_line_that_shoots_is_switched_on_by_key_and_undone(show: Show) -> None:
    window, page = show()
    before, left = speeds(page), page.needed.energy.text()
    page.cast.shooting.button.setFocus()
    keys(SPACE)
    assert page.cast.shooting.is_open
    page.cast.shoots.setFocus()
    keys(SPACE)
    assert window.document.bench.throw.shoots
    retype(page.cast.guides[0], "30 gr", ENTER)
    assert "of running line is shot by then" in page.needed.shot.text()
    assert any("The film does not shoot" in each for each in words_on(page))
    assert speeds(page)[0] > before[0]
    assert page.needed.energy.text() != left
    shot = page.needed.shot.text()
    retype(page.cast.running[0], "5 gr/ft", ENTER)
    assert page.needed.shot.text() != shot
    for _ in range(3):
        window.document.undo_stack.undo()
    assert window.document.bench.throw == rig_bench().throw
    assert not page.cast.shoots.isChecked()
    assert not page.needed.shot.isVisible()
    assert (speeds(page), page.needed.energy.text()) == (before, left)


def test_an_angle_too_steep_is_refused_in_a_sentence_and_nothing_moves(show: Show) -> None:
    window, page = show()
    retype(page.cast.launch[0], "70", ENTER)
    assert page.cast.problem.isVisible()
    assert "“70” is thrown up too steeply" in page.cast.problem.text()
    assert window.document.bench.throw == rig_bench().throw


def test_the_room_follows_cast_wading_and_rod(show: Show) -> None:
    window, page = show()
    before = page.room.figure.text()
    assert before.endswith(" ft")
    assert "with your habits" in page.room.below.text()
    click(button(page, "Sustained"))
    assert window.document.bench.behind.cast is Cast.SUSTAINED
    assert page.room.figure.text() != before
    assert any("no measurement of a loop’s room was found" in each for each in words_on(page.room))
    study = page.desk.study
    assert study is not None
    assert study.behind is not None
    retype(page.cast.wading[0], "3 ft", ENTER)
    now = page.desk.study
    assert now is not None
    assert now.behind is not None
    assert now.behind.ends.tip_height == pytest.approx(study.behind.ends.tip_height - 3.0 * FOOT)
    window.document.apply(without_rod)
    assert page.desk.study is not None
    assert page.desk.study.behind is None
    assert page.room.below.text() == "Choose a rod: the room behind hangs on its length."


def without_rod(bench: Bench) -> Edited:
    return Edited(replace(bench, rod=None), Sentence("Choose no rod"))


def test_the_room_there_is_tells_how_long_a_head_it_takes(show: Show) -> None:
    window, page = show()
    assert page.cast.room[0].placeholderText() == "8 ft"
    assert page.room.turned.text().startswith("8 ft behind you takes a head of ")
    retype(page.cast.room[0], "20 ft", ENTER)
    assert window.document.bench.answers.room == pytest.approx(20.0 * FOOT)
    assert page.room.turned.text().startswith("20 ft behind you takes a head of ")
    study = page.desk.study
    assert study is not None
    assert study.longest is not None
    assert study.longest.pointed > 20.0 * FOOT * 0.5


def test_an_anchor_is_typed_and_taken_back_to_the_usual(show: Show) -> None:
    window, page = show()
    page.cast.more.button.setFocus()
    keys(SPACE)
    assert page.cast.more.is_open
    usual = page.cast.peel[0].placeholderText()
    retype(page.cast.peel[0], "3 ft", ENTER)
    assert window.document.bench.behind.peel == pytest.approx(3.0 * FOOT)
    retype(page.cast.peel[0], Qt.Key.Key_Delete, ENTER)
    assert window.document.bench.behind.peel is None
    assert page.cast.peel[0].placeholderText() == usual


def test_a_line_laid_over_is_told_beside_it_and_filmed_below(show: Show) -> None:
    window, page = show()
    assert not page.needed.rows.isVisible()
    assert len(page.desk.shots) == 1
    window.document.look(rig_overlays=("rig-2", "rig-3"))
    settled(page)
    assert [each.name for each in page.desk.shots] == [
        "12 ft of 14 on the body",
        "10 ft of 11 on the body",
    ]
    said = page.needed.rows.spoken
    assert "10 ft of 8 on the body: needs " in said
    assert said.count("of the energy left") == 3
    choose(page.film_bar.box, 2)
    settled(page)
    assert page.desk.shots[1].name == "10 ft of 8 on the body"
    choose(page.film_bar.box, 0)
    settled(page)
    assert len(page.desk.shots) == 1


def test_a_copy_of_a_line_is_a_tie(show: Show) -> None:
    bench = replace(rig_bench(), view=View(line="line-1", page="air"))
    bench = line_edits.duplicate_line(bench, "line-1").bench
    assert bench.current_line is not None
    twin = bench.current_line.key
    assert twin != "line-1"
    bench = replace(bench, view=View(line="line-1", overlays=(twin,), page="air"))
    _, page = show(bench)
    assert page.needed.ties.text().endswith(": a tie, within 5 %.")


def test_an_edit_of_the_line_moves_figures_at_once_and_the_film_after(show: Show) -> None:
    window, page = show()
    before, film = page.desk.study, page.desk.shots[0].film
    assert before is not None
    assert before.first.study is not None
    assert window.document.apply(set_front_diameter, "line-3", 0, 0.0006)
    now = page.desk.study
    assert now is not None
    assert now.first.study is not None
    assert now.first.study.energy_left != before.first.study.energy_left
    settled(page)
    assert page.desk.shots[0].film is not film


def test_a_line_without_a_head_is_told_in_a_sentence(show: Show) -> None:
    _, page = show(Bench())
    assert page.desk.study is None
    assert "Put a line on the bench first, or open a sample." in words_on(page)


# -- the film ---------------------------------------------------------------------------------


def test_the_film_is_played_paused_and_stepped_by_keys(show: Show) -> None:
    _, page = show()
    clock, player = by_hand(page), page.player
    page.drawing.setFocus()
    keys(SPACE)
    assert player.is_playing
    assert player.seconds == 0.0
    go_on(page, clock, 0.4)
    assert player.seconds == pytest.approx(0.1)  # at a quarter of the speed
    keys(SPACE)
    assert not player.is_playing
    go_on(page, clock, 9.0)
    assert player.seconds == pytest.approx(0.1)
    keys(RIGHT, RIGHT, LEFT)
    assert player.seconds == pytest.approx(0.1 + players.STEP)
    keys(Qt.Key.Key_End)
    assert player.seconds == player.length
    keys(SPACE)  # from its end it begins anew
    assert player.seconds == 0.0
    keys(Qt.Key.Key_Home)
    assert not player.is_playing


def test_it_runs_as_fast_as_is_chosen_and_stands_at_its_end(show: Show) -> None:
    _, page = show()
    clock, player = by_hand(page), page.player
    click(button(page.film_bar, "1"))
    click(page.film_bar.play)
    assert page.film_bar.play.text() == "Pause"
    go_on(page, clock, 0.2)
    assert player.seconds == pytest.approx(0.2)
    click(button(page.film_bar, "⅒"))
    go_on(page, clock, 1.0)
    assert player.seconds == pytest.approx(0.3)
    go_on(page, clock, 1e3)
    assert player.seconds == player.length
    assert not player.is_playing
    assert page.film_bar.play.text() == "Play"


def test_it_is_scrubbed_by_mouse(show: Show) -> None:
    _, page = show()
    slider, player = page.film_bar.slider, page.player
    wide = slider.width()
    drag(slider, QPointF(wide * 0.2, 6.0), QPointF(wide * 0.3, 0.0))
    assert player.seconds / player.length == pytest.approx(0.5, abs=0.02)
    QTest.mouseClick(slider, Qt.MouseButton.LeftButton, pos=QPoint(wide - 2, 6))
    assert player.seconds == pytest.approx(player.length)
    shown = f"{player.seconds:.2f} of {player.length:.2f} s"
    assert page.film_bar.time.text() == shown


def test_the_ring_on_the_curve_is_the_same_instant_and_goes_where_the_model_ends(
    show: Show,
) -> None:
    _, page = show()
    film = page.desk.shots[0].film
    assert film is not None

    def ring() -> float | None:
        over = page.air_plots.chart.plots[0].own[-1]
        return getattr(over, "place", None)

    page.player.go_to(0.0)
    study = page.desk.study
    assert study is not None
    assert study.first.study is not None
    assert ring() == pytest.approx(float(study.first.study.run.at[0]), abs=0.05)
    page.player.go_to(0.5 * film.sound_until)
    assert ring() is not None
    page.player.go_to(film.length)
    assert film.ending is Ending.TURNED
    assert film.sound_until < film.length
    assert ring() is None


def test_what_is_faded_is_paler_than_what_the_model_holds(show: Show) -> None:
    _, page = show()
    film = page.desk.shots[0].film
    assert film is not None

    def accents(seconds: float) -> int:
        """Pixels of the line's own full colour to the right of the rod."""
        image = page.drawing.picture(seconds)
        ink = page.drawing.tokens.accent.lower()
        right = range(image.width() // 2, image.width(), 1)
        above = range(30, image.height() - 40)
        return sum(image.pixelColor(x, y).name() == ink for x in right for y in above)

    assert accents(film.sound_until * 0.98) > accents(film.length) + 30


def test_stills_stand_for_the_film_where_less_motion_is_wanted(show: Show) -> None:
    window, page = show()
    click(page.film_bar.stills)
    assert page.film_bar.play.text() == "Next"
    assert window.settings.preferences.stills
    seen = []
    for _ in range(players.STILLS):
        click(page.film_bar.play)
        seen.append(page.player.seconds)
        assert not page.player.is_playing
    assert sorted(seen) == pytest.approx(list(page.player.stills))
    page.drawing.setFocus()
    here = page.player.seconds
    keys(SPACE, LEFT)
    assert page.player.seconds == pytest.approx(here)
    click(page.film_bar.stills)
    assert page.film_bar.play.text() == "Play"


def test_a_person_who_wants_stills_has_them_at_the_next_start(show: Show) -> None:
    wanted = Preferences(theme=Theme.LIGHT, welcome_seen=True, stills=True)
    _, page = show(preferences=wanted)
    assert page.film_bar.play.text() == "Next"


@pytest.mark.parametrize("platform", ["linux", "win32", "darwin"])
def test_the_system_is_asked_whether_it_wants_less_motion(platform: str) -> None:
    def broken() -> bool:
        raise OSError

    assert less_motion(platform, {platform: lambda: True})
    assert not less_motion(platform, {platform: lambda: False})
    assert not less_motion(platform, {platform: broken})
    assert not less_motion(platform, {"other": lambda: True})


# -- what is taken away -----------------------------------------------------------------------


def export(page: AirPage, which: int) -> None:
    click(page.film_bar.export)
    menu = page.film_bar.findChild(QMenu)
    assert menu is not None
    for _ in range(which + 1):
        QTest.keyClick(menu, Qt.Key.Key_Down)
    QTest.keyClick(menu, ENTER)


@pytest.mark.parametrize("ending", [".gif", ".png", ".webp"])
def test_the_film_is_exported_as_an_animated_picture(
    show: Show,
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    qtbot: QtBot,
    ending: str,
) -> None:
    window, page = show()
    click(page.film_bar.stills)  # five frames
    path = tmp_path / f"film{ending}"
    name_file(monkeypatch, path)
    export(page, 0)
    qtbot.waitUntil(lambda: not page.exporting.is_working)
    with Image.open(path) as found:
        assert found.n_frames == players.STILLS
        assert found.size == (page.drawing.width(), page.drawing.height())
    assert status(window) == f"Exported film{ending}"


def test_frames_are_exported_one_by_one(
    show: Show, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, qtbot: QtBot
) -> None:
    window, page = show()
    page.player.use_rate(1.0)
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_a, **_o: str(tmp_path))
    export(page, 1)
    qtbot.waitUntil(lambda: not page.exporting.is_working)
    written = sorted(tmp_path.glob("*.png"))
    assert len(written) == max(2, round(page.player.length * 25))
    with Image.open(written[0]) as first, Image.open(written[-1]) as last:
        assert first.size == last.size
        assert first.tobytes() != last.tobytes()
    assert status(window).startswith(f"{len(written)} frames in ")


def test_an_export_is_stopped(show: Show, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    window, page = show()
    name_file(monkeypatch, tmp_path / "film.gif")
    export(page, 0)
    assert page.film_bar.export.text() == "Stop"
    click(page.film_bar.export)
    assert page.film_bar.export.text() == "Export ▾"
    assert status(window) == "Stopped: the film was not exported."
    assert not list(tmp_path.iterdir())


def test_a_picture_of_another_kind_is_refused_in_a_sentence(
    show: Show, tmp_path: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    window, page = show()
    problems: list[str] = []
    monkeypatch.setattr(
        type(page.place.host), "show_problem", lambda _s, said: problems.append(str(said))
    )
    page.exporting.write_picture(tmp_path / "film.doc")
    qtbot.waitUntil(lambda: not page.exporting.is_working)
    assert problems
    assert "must end in .gif, .png and .webp" in problems[0]
    del window


def test_the_sheet_tells_it_all_with_the_caution(show: Show) -> None:
    _, page = show(rig_bench("rig-2"))
    sheet = page.sheet()
    text = printed(sheet)
    for said in (
        "12 ft of 14 on the body",
        "10 ft of 11 on the body",
        page.needed.figure.text(),
        "An estimate from geometry",
        "wet or dry is not modelled",
        "Not in it: what moves out of the plane, wind",
        "Test with a piece of wool, not a hook.",
        "Launch angle",
        "thrown 5° up",
    ):
        assert said in text, said
    # The drawing tells its lengths in the units that the sheet is printed in.
    us, metric = (
        page.drawing.vectors(0.0, PAPER, system).decode() for system in (System.US, System.METRIC)
    )
    assert "the bar is 10 ft" in us
    assert "the bar is 3 m" in metric
    assert "ft up" not in metric


def test_the_caution_stands_beside_the_film(show: Show) -> None:
    _, page = show()
    assert page.hook.isVisible()
    assert "a piece of wool, not a hook" in page.hook.text()
    assert "nobody within reach" in page.hook.text()


def test_figures_are_copied_as_rows(show: Show) -> None:
    _, page = show(rig_bench("rig-2"))
    names = [row[0] for row in page.current_readouts()]
    assert names.count("Energy left at the fly") == 2
    assert names[-1] == "Room behind"


@pytest.mark.parametrize(("width", "height"), [(1024, 700), (1280, 800), (1920, 1080)])
def test_nothing_is_cut_off(show: Show, width: int, height: int) -> None:
    window, page = show(rig_bench("rig-2", "rig-3"))
    window.resize(width, height)
    settled(page)
    assert clipped(page) == []
