"""Densities of a measured line from the weights of the whole and of sections of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from taperlab.model.line import NO_LOOP, Loop
from taperlab.model.measurement import Instruments, Measurement, WeighedSection
from taperlab.physics import frustum
from taperlab.physics.frustum import Array
from taperlab.shop.measure.instruments import rounding_error
from taperlab.shop.measure.outcome import NoFit, caution, note
from taperlab.shop.measure.shape import ShapeFit
from taperlab.shop.measure.state import Fitted, State
from taperlab.units.finding import Finding
from taperlab.units.sentence import OnTape, Sentence, Share, Weight

SPREAD = 0.02
"""Standard deviation of the segments' densities about their common value, as a share of it."""

UNKNOWN = 5.0
"""The same for the common value: so wide that the weights alone set it."""

END_REACH = 0.003
"""A section that ends within this of the rod end [m] ends with the line: about a tape's step."""

MOST_ROUNDS = 20
HALVINGS = tuple(0.5**n for n in range(16))
MIXTURES = tuple(n / 8.0 for n in range(1, 8))
STILL = 1e-10
"""A fit stands still once no number moves by more than this share of itself."""

NOTICED = 1e-6
"""Steps past a kink go on while they take this off the squares: a thousandth of a deviation."""

ODD_WEIGHT = 4.0
"""Standard deviations by which a weight may differ from the rest before it is named."""


@dataclass(frozen=True, slots=True)
class Weighings:
    """Sections that are weighed, as functions of what the line is made of; loops at its ends."""

    sections: Sequence[WeighedSection]
    front_loop: Loop = NO_LOOP
    rear_loop: Loop = NO_LOOP

    def masses(self, state: State) -> Array:
        """Mass of each section [kg], loops at its ends included."""
        front = np.array([section.front for section in self.sections])
        rear = np.array([section.rear for section in self.sections])
        to_the_end = rear >= state.length - END_REACH
        masses = state.volumes(front, np.where(to_the_end, state.length, rear)) @ state.densities
        ends = ((front == 0.0, self.front_loop, 0), (to_the_end, self.rear_loop, -1))
        for held, loop, end in ends:
            folded = frustum.linear_density(state.diameters[end], state.densities[end])
            masses = masses + held * (loop.mass + loop.fold * folded)
        return masses

    def errors(self, state: State, instruments: Instruments) -> Array:
        """Standard deviation of each weighing [kg]: the scale, and the tape at cut ends."""
        ends = np.array([(section.front, section.rear) for section in self.sections])
        cut = (ends > 0.0) & (ends < state.length - END_REACH)
        by_tape = cut * state.linear_density(ends) * rounding_error(instruments.tape)
        variance = rounding_error(instruments.scale) ** 2 + np.sum(by_tape**2, axis=1)
        return np.asarray(np.sqrt(variance))


@dataclass(frozen=True, eq=False, slots=True)
class DensityFit(Fitted):
    """A measured line: shape and densities together, as the weights leave them.

    weighings: what was weighed, with the loops; section_residuals, section_errors (n,): by how
    much it differs from the fit, and the standard deviation of each weighing alone [kg].
    """

    shape: ShapeFit
    weighings: Weighings
    section_residuals: Array
    section_errors: Array
    findings: tuple[Finding, ...]

    def sections_like(self, sections: Sequence[WeighedSection]) -> Weighings:
        """Other sections of the same line, with its loops."""
        return replace(self.weighings, sections=sections)

    def mass(self, front: float, rear: float) -> tuple[float, float]:
        """Mass [kg] between two distances [m], loops at the ends included, and its error."""
        weighings = self.sections_like([WeighedSection(front, rear, 1.0)])
        mass, error = self.with_error(weighings.masses)
        return float(mass[0]), float(error[0])

    @property
    def total(self) -> tuple[float, float]:
        """Mass of the whole line [kg] and its standard deviation."""
        return self.mass(0.0, self.length)

    @property
    def segment_masses(self) -> tuple[Array, Array]:
        """Mass of each segment [kg], loops left out, and its standard deviation."""
        return self.with_error(lambda state: state.segment_masses)

    @property
    def segment_lengths(self) -> tuple[Array, Array]:
        """Length of each segment [m] and its standard deviation."""
        return self.with_error(lambda state: state.lengths)

    def linear_density(self, x: Array) -> tuple[Array, Array]:
        """Mass per length [kg/m] at each x [m] and its standard deviation."""
        return self.state.linear_density(x), self.error(self.state.linear_density_gradient(x))


def fit_densities(
    shape: ShapeFit, measurement: Measurement, *, spread: float = SPREAD
) -> DensityFit | NoFit:
    """Densities from weights, by generalised least squares over shape and densities together.

    The fitted shape enters with its covariance and the densities with a prior: a common value
    that the weights alone set, about which segments spread by ``spread`` (one standard deviation,
    as a share). Where sections were weighed one by one their weights win; where only the total
    was, all segments share what it says.
    """
    sections, instruments = measurement.sections, measurement.instruments
    if not sections:
        return NoFit(
            Sentence("Weigh the whole line, or a section of it: without a weight no density.")
        )
    for section in sections:
        if section.front >= shape.length or section.rear > shape.length + instruments.tape:
            return NoFit(
                Sentence(
                    "The weighed section to {rear} runs beyond the line’s end at {end}.",
                    rear=OnTape(section.rear),
                    end=OnTape(shape.length),
                )
            )
    weighings = Weighings(sections, measurement.front_loop, measurement.rear_loop)
    measured = np.array([section.mass for section in sections])
    prior = _prior(shape, sections, spread)
    fit = _update(prior, weighings, measured, instruments)
    if fit.state.is_crossed:
        # The stations place a breakpoint so loosely that the weights push it past its neighbour:
        # weights share out what lies between breakpoints, they do not say where these are.
        fit = _with_shape_held(prior, weighings, measured, instruments)
    if np.any(fit.diameters <= 0.0) or np.any(fit.densities <= 0.0):
        return NoFit(Sentence("The weights cannot all be right: a density comes out below zero."))
    residuals = measured - weighings.masses(fit.state)
    errors = weighings.errors(fit.state, instruments)
    findings = _odd_weights(sections, residuals, errors)
    if _share_one_density(fit, prior, spread):
        shared = Sentence(
            "The weights do not tell all segments apart: one common density is taken, within "
            "{spread} (one standard deviation) from segment to segment.",
            spread=Share(spread),
        )
        findings.append(note(shared))
    return DensityFit(
        fit.state, fit.covariance, shape, weighings, residuals, errors, tuple(findings)
    )


def _prior(shape: ShapeFit, sections: Sequence[WeighedSection], spread: float) -> Fitted:
    """The shape with its covariance, and one density everywhere that the weights will set."""
    count = shape.state.nodes - 1
    unit = State.of(shape.positions, shape.diameters, np.ones(count))
    volume = Weighings(sections).masses(unit).sum()
    common = sum(section.mass for section in sections) / float(volume)
    state = State.of(shape.positions, shape.diameters, np.full(count, common))
    apart = np.zeros((len(shape.covariance), count))
    scatter = common**2 * (UNKNOWN**2 + spread**2 * np.eye(count))
    return Fitted(state, np.block([[shape.covariance, apart], [apart.T, scatter]]))


def _update(
    prior: Fitted, weighings: Weighings, measured: Array, instruments: Instruments
) -> Fitted:
    """What is known once the weights are, the prior bent as far as both allow.

    The state x0 + C u makes u^T C u and the weights' misfit over their variance N together least.
    About it the masses change by G, so the next u is G^T (G C G^T + N)^-1 (measured - masses(x) +
    G C u), until it stands still (Tarantola, Inverse Problem Theory, 2005, section 3.2.3). Where
    a breakpoint meets the end of a section the masses have a kink, and the whole way there leads
    too far: it is halved until it helps, and the derivatives of both sides are mixed.

    The covariance in Joseph's form, (I - K G) C (I - K G)^T + K N K^T with the gain K, stays
    symmetric and not negative.
    """
    covariance = prior.covariance
    size = np.maximum(np.abs(prior.state.values), 1e-6)

    def at(u: Array) -> State:
        return prior.state.like(prior.state.values + covariance @ u)

    def cost(u: Array) -> float:
        misfit = measured - weighings.masses(at(u))
        return float(u @ covariance @ u + np.sum(misfit**2 / variance))

    def way(rows: Array) -> Array:
        """From u to where it should be by these derivatives."""
        unexplained = measured - weighings.masses(at(u)) + rows @ covariance @ u
        inner = rows @ covariance @ rows.T + np.diag(variance)
        return np.asarray(rows.T @ np.linalg.solve(inner, unexplained)) - u

    u = np.zeros(len(size))
    for _ in range(MOST_ROUNDS):
        variance = weighings.errors(at(u), instruments) ** 2
        rows = at(u).gradient(weighings.masses).values
        now, full = cost(u), way(rows)
        share = next((each for each in HALVINGS if cost(u + each * full) < now), 0.0)
        then = u + share * full
        if 0.0 < share < 1.0 and not at(then).is_crossed:
            beyond = at(u + 2.0 * share * full)
            change = beyond.gradient(weighings.masses).values - rows
            mixed = [way(rows + each * change) for each in MIXTURES]
            then = min([then, *(u + s * w for w in mixed for s in HALVINGS[:6])], key=cost)
        still = np.abs(covariance @ (then - u)) <= STILL * size
        u = then
        if still.all() or (share < 1.0 and now - cost(u) < NOTICED):
            break
    gain = np.linalg.solve(rows @ covariance @ rows.T + np.diag(variance), rows @ covariance).T
    left = np.eye(len(size)) - gain @ rows
    return Fitted(at(u), left @ covariance @ left.T + gain @ np.diag(variance) @ gain.T)


def _with_shape_held(
    prior: Fitted, weighings: Weighings, measured: Array, instruments: Instruments
) -> Fitted:
    """What the weights say of the densities alone; the nodes stay where the stations put them.

    The densities are bent until the weights come out as they were read, with the gain K of the
    densities alone. The shape's errors still count, though the weights do not change it (Schmidt,
    Adv. Control Systems 3, 293, 1966): (I - K G) C (I - K G)^T + K N K^T.
    """
    of_shape = np.arange(len(prior.covariance)) < 2 * prior.state.nodes
    free = np.where(np.outer(~of_shape, ~of_shape), prior.covariance, 0.0)
    rows = prior.state.gradient(weighings.masses).values
    noise = np.diag(weighings.errors(prior.state, instruments) ** 2)
    gain = np.linalg.solve(rows @ free @ rows.T + noise, rows @ free).T
    unexplained = measured - weighings.masses(prior.state)
    left = np.eye(len(free)) - gain @ rows
    return Fitted(
        prior.state.like(prior.state.values + gain @ unexplained),
        left @ prior.covariance @ left.T + gain @ noise @ gain.T,
    )


def _share_one_density(fit: Fitted, prior: Fitted, spread: float) -> bool:
    """Whether the weights halve the prior spread of some densities only, or of none."""
    told = fit.errors.densities < 0.5 * spread * prior.densities
    return spread > 0.0 and len(told) > 1 and not told.all()


def _odd_weights(
    sections: Sequence[WeighedSection], residuals: Array, errors: Array
) -> list[Finding]:
    return [
        caution(
            Sentence(
                "The section from {front} to {rear} reads {off} against the rest of the line: "
                "weigh it again.",
                front=OnTape(section.front),
                rear=OnTape(section.rear),
                off=Weight(residual, signed=True),
            )
        )
        for section, residual, error in zip(sections, residuals.tolist(), errors, strict=True)
        if abs(residual) > ODD_WEIGHT * error
    ]
