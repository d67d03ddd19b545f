"""How a head that is cut back lies in its window: said before a cut, and where no cut is left."""

from __future__ import annotations

from dataclasses import replace

from taperlab.model.rod import Window
from taperlab.shop.cut_back.one_cut import Plan
from taperlab.shop.cut_back.staging import Stop, Why
from taperlab.shop.wording import window_words
from taperlab.trade import windows
from taperlab.trade.windows import Place
from taperlab.units.finding import Finding, Level
from taperlab.units.sentence import Sentence, Weight


def said_of_cut(plan: Plan, window: Window | None) -> Plan:
    """A plan that says so, before all else, where the head is or will be out of its window."""
    if window is None:
        return plan
    takes = window_words(window.lightest, window.heaviest)
    now, then = (windows.place(mass, window).place for mass in (plan.before.mass, plan.after.mass))
    if now is Place.BELOW:
        said = Sentence(
            "The head weighs {mass} and is too light for the grain window, {window}, already: a "
            "cut makes it lighter still.",
            mass=Weight(plan.before.mass),
            window=takes,
        )
    elif then is Place.BELOW:
        said = Sentence(
            "At {mass} the head will be too light for the grain window, {window}.",
            mass=Weight(plan.after.mass),
            window=takes,
        )
    elif then is Place.ABOVE:
        said = Sentence(
            "At {mass} the head will still be too heavy for the grain window, {window}.",
            mass=Weight(plan.after.mass),
            window=takes,
        )
    else:
        return plan
    return replace(plan, findings=(Finding(Level.CAUTION, said), *plan.findings))


def said_of_stop(stop: Stop | None, target: float, window: Window | None) -> Stop | None:
    """Why there is no next cut; a head outside its window is never just done.

    ``target``: what was aimed at [kg].
    """
    if stop is None or window is None or stop.why is Why.TOO_LIGHT:
        return stop
    if not stop.why.is_final and stop.why is not Why.TOO_HEAVY:
        return stop
    mass = target + stop.off
    fit = windows.place(mass, window)
    if fit.place is Place.INSIDE:
        return stop
    by, takes = Weight(fit.to_edge), window_words(window.lightest, window.heaviest)
    if fit.place is Place.ABOVE:
        sentence = Sentence(
            "{standing} But {mass} is {by} too heavy for the grain window, {window}: aim lower, or "
            "take another rod.",
            standing=stop.sentence,
            mass=Weight(mass),
            by=by,
            window=takes,
        )
    else:
        sentence = Sentence(
            "{standing} But {mass} is {by} too light for the grain window, {window}.",
            standing=stop.sentence,
            mass=Weight(mass),
            by=by,
            window=takes,
        )
    return Stop(Why.OUTSIDE_WINDOW, stop.off, sentence)
