"""Writes ``jump.csv``: an invented jump of a person who does not exist, on one plate."""

from pathlib import Path

import numpy as np

from leadfoot.ground.made_jump import MadeJump

RATE_HZ = 1000.0


def main() -> None:
    """Write time and vertical force, a row a millisecond."""
    force_n = MadeJump().force_n(RATE_HZ, rng=np.random.default_rng(4), noise_n=1.5)
    rows = [f"{k / RATE_HZ:.3f},{value:.1f}" for k, value in enumerate(force_n)]
    lines = ["time (s),Fz (N)", *rows]
    Path(__file__).with_name("jump.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
