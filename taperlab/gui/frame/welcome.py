"""The few words that greet a person at the first start."""

from __future__ import annotations

from taperlab.gui.kit.banner import Banner, BannerColumn
from taperlab.gui.state.settings import Settings
from taperlab.units.language import tr


class Welcome:
    """Greets once, and again when asked."""

    def __init__(self, banners: BannerColumn, settings: Settings) -> None:
        self._banners = banners
        self._settings = settings
        self._banner: Banner | None = None

    def greet_once(self) -> None:
        """Greet whoever has not been greeted yet."""
        if not self._settings.preferences.welcome_seen:
            self.greet()

    def greet(self) -> None:
        """Say how to begin, unless it stands there already."""
        if self._banner is None:
            self._banner = self._banners.show_banner(
                tr(
                    "Welcome. This is a demo bench from a small river workshop. Change any number "
                    "in the table, or drag a ring on the plots: everything answers at once, and "
                    "Ctrl+Z takes it back. Choose your rod at the right; lay another line over "
                    "this one by its mark at the left."
                ),
                [(tr("OK"), self._seen)],
            )
            self._banner.dismissed.connect(self._gone)

    def dismiss(self) -> None:
        """Take the words away: they speak of the demo bench."""
        if self._banner is not None:
            self._banner.dismiss()

    def _gone(self) -> None:
        self._banner = None

    def _seen(self) -> None:
        self._settings.remember(welcome_seen=True)
