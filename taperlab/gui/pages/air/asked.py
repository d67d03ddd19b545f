"""How it is cast, asked for in a caster's words; what is usual can be seen and changed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtWidgets import QCheckBox, QSizePolicy, QToolButton, QWidget

from taperlab.gui.kit.asked import AskedCard
from taperlab.gui.kit.fold import Fold
from taperlab.gui.kit.kept import Kept
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import in_column, in_row
from taperlab.gui.pages.air.desk import AirDesk
from taperlab.model.casting import Cast, LoopBehind, Throw
from taperlab.shop.air.study import USUAL_ROOM
from taperlab.shop.room.study import aside_of, on_water_of, peel_of
from taperlab.shop.turnover.shooting import running_mass_of
from taperlab.units.kinds import GUIDES, LAUNCH, LEAN, ROOM, Kind
from taperlab.units.language import tr
from taperlab.units.limits import LIMITS
from taperlab.units.words import heading


class CastCard(AskedCard):
    """How the loop behind is formed, and how the loop ahead is thrown."""

    def __init__(self, desk: AirDesk) -> None:
        super().__init__(desk.place.settings, tr("How it is cast"))
        self._desk = desk
        self.casts = [self._cast(each) for each in Cast]
        self.speed = self._thrown("speed", tr("Line speed as it is cast"))
        self.rod_tip = self._thrown("rod_tip", tr("Height of the rod tip above the water"))
        self.launch = self._tied(LAUNCH, tr("Launch angle"), self._take_launch)
        self.loop = self._thrown("loop_height", tr("Height of the loop"))
        self.wading = self._formed("wading", tr("How deep one wades"))
        self.room = self._tied(ROOM, tr("Room there is behind"), self._take_room, optional=True)
        self.lean = self._tied(LEAN, tr("Lean of the rod"), self._take_lean)
        self.hands = self._formed("hands", tr("Height of the hands"))
        self.ahead = self._formed("ahead", tr("Hands ahead of the body"))
        self.overhang = self._formed("overhang", tr("Running line outside the rod tip"))
        self.peel = self._formed("peel", tr("Anchor, ahead of one"), optional=True)
        self.aside = self._formed("aside", tr("Anchor, beside one"), optional=True)
        self.on_water = self._formed("on_water", tr("Line on the water"), optional=True)
        self.start = self._thrown("start", tr("Line unrolled as it begins"))
        self.factor = self._thrown("loop_factor", tr("What the air leaves of the loop’s height"))
        more = QWidget()
        rows = self.named(
            (tr("Lean of the rod"), self.lean[0]),
            (tr("Hands, height"), self.hands[0]),
            (tr("Hands, ahead"), self.ahead[0]),
            (tr("Overhang"), self.overhang[0]),
            (tr("Anchor, ahead"), self.peel[0]),
            (tr("Anchor, aside"), self.aside[0]),
            (tr("Line on the water"), self.on_water[0]),
            (tr("Unrolled at first"), self.start[0]),
            (tr("Loop left by the air, ×"), self.factor[0]),
        )
        in_column(rows, of=more)
        self.more = Fold(tr("Lean, anchor, hands"), more)
        self.shooting = self._shooting()
        self.add(
            in_row(*self.casts, None, spacing=2),
            self.named(
                (tr("Cast at"), self.speed[0]),
                (tr("Rod tip, height"), self.rod_tip[0]),
                (tr("Launch angle"), self.launch[0]),
                (tr("Loop height"), self.loop[0]),
                (tr("Wading"), self.wading[0]),
                (tr("Room there is"), self.room[0]),
            ),
            self.more,
            self.shooting,
            self.problem,
        )
        bench = desk.place.document
        desk.follow(
            self.refresh,
            lambda: (
                bench.bench.throw,
                bench.bench.behind,
                bench.bench.answers.room,
                desk.study.behind.parts if desk.study and desk.study.behind else None,
                bench.rod,
                desk.study.first.rig if desk.study else None,
            ),
        )

    def refresh(self) -> None:
        """Show how it is cast now."""
        bench = self._desk.place.document.bench
        throw, behind = bench.throw, bench.behind
        for button, cast in zip(self.casts, Cast, strict=True):
            button.setChecked(behind.cast is cast)
        for (_, kept), value in (
            (self.speed, throw.speed),
            (self.rod_tip, throw.rod_tip),
            (self.launch, throw.launch),
            (self.loop, throw.loop_height),
            (self.start, throw.start),
            (self.factor, throw.loop_factor),
            (self.wading, behind.wading),
            (self.lean, behind.lean),
            (self.hands, behind.hands),
            (self.ahead, behind.ahead),
            (self.overhang, behind.overhang),
            (self.peel, behind.peel),
            (self.aside, behind.aside),
            (self.on_water, behind.on_water),
            (self.room, bench.answers.room),
            (self.guides, throw.guides),
            (self.running, throw.running),
        ):
            kept.show(value)
        self.shoots.setChecked(throw.shoots)
        self.shooting.summarize(tr("shoots") if throw.shoots else "")
        self._show_usual(behind)

    def _show_usual(self, behind: LoopBehind) -> None:
        """What holds where nothing is typed, in the empty fields."""
        document, study = self._desk.place.document, self._desk.study
        rod = document.rod
        usual = {self.room[0]: USUAL_ROOM}
        if rod is not None:
            usual[self.peel[0]] = peel_of(behind, rod.length)
            usual[self.aside[0]] = aside_of(behind, rod.length)
        if study is not None and study.behind is not None:
            usual[self.on_water[0]] = on_water_of(behind, study.behind.parts)
        if study is not None and study.first.rig is not None:
            throw = replace(document.bench.throw, running=None)
            usual[self.running[0]], _ = running_mass_of(study.first.rig, throw)
        for field, value in usual.items():
            field.setPlaceholderText(field.written(value))

    def _shooting(self) -> Fold:
        """Whether running line follows, and what holds it: folded away, and off by itself."""
        self.shoots = QCheckBox(tr("Shoots running line"))
        self.shoots.clicked.connect(lambda on: self._desk.throw(shoots=on))
        self.guides = self._thrown("guides", tr("What just draws it through the guides"))
        self.guides[0].setToolTip(tr(GUIDES.help))
        self.running = self._thrown(
            "running", tr("Weight per length of the running line"), optional=True
        )
        rows = self.named(
            (tr("Guides, friction"), self.guides[0]), (tr("Running line"), self.running[0])
        )
        within = QWidget()
        in_column(self.shoots, rows, spacing=6, of=within)
        return Fold(tr("Shooting line"), within)

    # -- fields --------------------------------------------------------------------------------

    def _cast(self, cast: Cast) -> QToolButton:
        made = QToolButton()
        made.setText(heading(cast))
        made.setCheckable(True)
        made.setSizePolicy(QSizePolicy.Policy.Minimum, QSizePolicy.Policy.Fixed)
        made.clicked.connect(lambda: self._take_cast(cast))
        return made

    def _tied(
        self,
        kind: Kind,
        name: str,
        take: Callable[[float | None], bool],
        *,
        optional: bool = False,
    ) -> tuple[QuantityEdit, Kept]:
        field = self.field(kind, name, optional=optional)
        kept = Kept(field, take)
        self.kept.append(kept)
        return field, kept

    def _thrown(
        self, number: str, name: str, *, optional: bool = False
    ) -> tuple[QuantityEdit, Kept]:
        kind = LIMITS[Throw][number].kind
        return self._tied(
            kind,
            name,
            lambda value: bool(self._desk.throw(**{number: value})),
            optional=optional,
        )

    def _formed(
        self, number: str, name: str, *, optional: bool = False
    ) -> tuple[QuantityEdit, Kept]:
        kind = LIMITS[LoopBehind][number].kind
        return self._tied(
            kind,
            name,
            lambda value: bool(self._desk.form(**{number: value})),
            optional=optional,
        )

    # -- what a person does --------------------------------------------------------------------

    def _take_cast(self, cast: Cast) -> None:
        self._desk.form(cast=cast)
        self.refresh()

    def _take_launch(self, value: float | None) -> bool:
        return bool(self._desk.throw(launch=value))

    def _take_lean(self, value: float | None) -> bool:
        return bool(self._desk.form(lean=value))

    def _take_room(self, value: float | None) -> bool:
        return bool(self._desk.say_room(value))
