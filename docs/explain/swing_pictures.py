"""The figures of ``swing.md``, computed: ``python -m docs.explain.swing_pictures`` draws them."""

from pathlib import Path

import numpy as np
from matplotlib.figure import Figure

from docs.explain.chart import chart, name
from leadfoot.figures.look import DAY, WORDS
from leadfoot.figures.picture import Picture
from leadfoot.physics.body_energy import whole_body
from leadfoot.physics.golfer import Golfer, generic_golfer
from leadfoot.physics.lift import Lift
from leadfoot.physics.push import push_sensitivity
from leadfoot.physics.swing import Swing, swing, with_speed

HERE = Path(__file__).parent
MPH_MPS = 0.44704
LIFT = Lift(height_m=0.06)


def _swings() -> tuple[Golfer, Swing, Swing]:
    """A driver at 95 mph with the hub still, and with the lift."""
    golfer = with_speed(generic_golfer("driver"), 95.0 * MPH_MPS)
    still = swing(golfer, track=True)
    lifted = swing(golfer, LIFT.hub(still.strike_s, golfer.plane_rad), track=True)
    return golfer, still, lifted


def _sticks(figure: Figure) -> None:
    golfer, _, lifted = _swings()
    track = lifted.track
    axes = chart(
        figure,
        across="in the plane, toward the target, m",
        up="up the plane, m",
        title="Arms and club, hub lifted, in 12 even steps of time",
        box=(0.12, 0.11, 0.97, 0.93),
    )
    if track is None:
        return
    for k in range(0, track.time_s.size, 10):
        arms, club = float(track.arms_rad[k]), float(track.club_rad[k])
        hub = np.array([track.hub_along_m[k], track.hub_up_m[k]])
        hands = hub + golfer.arms.length_m * np.array([np.sin(arms), -np.cos(arms)])
        head = hands + golfer.club.length_m * np.array([np.sin(club), -np.cos(club)])
        last = k == track.time_s.size - 1
        colour = DAY.after if last else DAY.quiet
        width = 1.6 if last else 0.7
        axes.plot(*zip(hub, hands, strict=True), color=colour, lw=2.0 * width)
        axes.plot(*zip(hands, head, strict=True), color=colour, lw=width)
        axes.plot(*head, "o", color=colour, markersize=3.5)
        axes.plot(*hub, "o", color=DAY.target, markersize=3.5, zorder=5)
    name(axes, 0.08, 0.06, "hub", color=DAY.target)
    name(axes, 0.52, -1.62, "strike", color=DAY.after)
    axes.set_aspect("equal")
    axes.set_xlim(-1.9, 1.3)
    axes.set_ylim(-1.8, 1.5)


def _speed(figure: Figure) -> None:
    _, still, lifted = _swings()
    axes = chart(
        figure,
        across="time from the strike, s",
        up="club speed, mph",
        title="Club speed in the downswing: hub still (dashed), hub lifted 6 cm (solid)",
    )
    for found, style, colour in ((still, "dashed", DAY.before), (lifted, "solid", DAY.after)):
        if found.track is None:
            continue
        before_s = found.track.time_s - found.strike_s
        axes.plot(
            before_s,
            found.track.club_speed_mps / MPH_MPS,
            color=colour,
            lw=1.4,
            linestyle=style,
        )
        name(
            axes,
            0.003,
            found.club_speed_mps / MPH_MPS - (4.0 if style == "dashed" else 0.0),
            f"{found.club_speed_mps / MPH_MPS:.1f}",
            color=colour,
            va="center",
        )
    axes.set_xlim(-0.34, 0.02)
    axes.set_ylim(0.0, 105.0)


def _gain(figure: Figure) -> None:
    golfer, _, _ = _swings()
    axes = chart(
        figure,
        across="lift half done so long before the strike, ms",
        up="gain, mph",
        title="Gain of club speed by how hard and how early the lift comes (driver, 95 mph)",
    )
    leads_s = np.linspace(-0.08, 0.18, 27)
    heights_m = np.array([0.02, 0.04, 0.06, 0.08])
    gains = push_sensitivity(golfer, heights_m, leads_s) / MPH_MPS
    for height_m, row, width in zip(heights_m, gains, (0.8, 1.2, 1.6, 2.0), strict=True):
        axes.plot(1000.0 * leads_s, row, color=DAY.after, lw=width)
        top = int(row.argmax())
        share = 100.0 * Lift(height_m=float(height_m)).greatest_force_share
        name(
            axes,
            1000.0 * float(leads_s[top]),
            float(row[top]) + 0.07,
            f"{100.0 * height_m:.0f} cm, {share:.0f} % of weight",
            ha="center",
            color=DAY.ink,
        )
    axes.axhline(0.0, color=DAY.line, lw=0.8, zorder=0)
    axes.axvline(0.0, color=DAY.line, lw=0.8, zorder=0)
    axes.set_ylim(-2.8, 3.6)
    axes.invert_xaxis()


GIVEN = (
    ("back, hips and legs", "below_shoulders_j"),
    ("shoulders", "shoulders_j"),
    ("wrists", "wrists_j"),
    ("falling arms and club", "weight_helped_j"),
)
GONE = (
    ("club", "club_j"),
    ("arms", "arms_j"),
    ("braked by muscles", "braked_j"),
    ("turning trunk", "turning_j"),
    ("height of the body", "raised_j"),
    ("shift and rise", "moving_j"),
)


def _energy(figure: Figure) -> None:
    account = whole_body(95.0 * MPH_MPS, rng=np.random.default_rng(1), n=100)
    axes = chart(
        figure,
        across="energy, J",
        up="",
        title="What gives the energy (hollow), what gets it (solid)",
        box=(0.29, 0.14, 0.97, 0.92),
    )
    words = []
    for place, (word, field) in enumerate((*GIVEN, *GONE)):
        at = -place - (0.6 if place >= len(GIVEN) else 0.0)
        given = place < len(GIVEN)
        axes.barh(
            at,
            getattr(account.middle, field),
            height=0.62,
            facecolor="none" if given else DAY.after,
            edgecolor=DAY.before if given else DAY.after,
            lw=1.2,
        )
        axes.plot(account.ranges[field], (at, at), color=DAY.ink, lw=1.4)
        words.append((at, word))
    axes.set_yticks(
        [at for at, _ in words], [word for _, word in words], fontfamily=WORDS, fontsize=8.5
    )
    axes.tick_params(axis="y", length=0.0)
    axes.axvline(0.0, color=DAY.line, lw=0.8, zorder=0)
    axes.set_xlim(-20.0, 340.0)


PICTURES = {
    "swing_sticks": Picture(
        alt="Stick figure of arms and club through the downswing; the club lags, then comes into "
        "line with the arms at the strike, while the hub rises.",
        width_mm=110.0,
        height_mm=110.0,
        look=DAY,
        paint=_sticks,
    ),
    "swing_speed": Picture(
        alt="Club speed over time with the hub still and with the hub lifted; the lifted one ends "
        "about two miles an hour faster.",
        width_mm=150.0,
        height_mm=75.0,
        look=DAY,
        paint=_speed,
    ),
    "swing_energy": Picture(
        alt="Bars with ranges. Back, hips and legs give most of the energy, about 250 joules, "
        "shoulders about 80, wrists and falling arms little; the club gets about 210, the arms "
        "about 110, all else together some 60.",
        width_mm=150.0,
        height_mm=95.0,
        look=DAY,
        paint=_energy,
    ),
    "swing_gain": Picture(
        alt="Gain of club speed by the time at which the lift is half done, for four heights: most "
        "some 50 milliseconds before the strike, and a loss when it comes far too early.",
        width_mm=150.0,
        height_mm=75.0,
        look=DAY,
        paint=_gain,
    ),
}

if __name__ == "__main__":
    for key, picture in PICTURES.items():
        (HERE / f"{key}.svg").write_bytes(picture.svg())
