"""Whether header and parameters of a C3D file say the same: one that contradicts itself is hurt."""

from collections.abc import Iterator

from leadfoot.ground.c3d_parameters import BLOCK_BYTES, Parameters
from leadfoot.ground.recording import Remark

_SAME = 1e-4
"""Numbers of four bytes that differ by less than this share are the same."""
_FRAMES_HELD = 65_535


def about_counts(
    parameters: Parameters,
    *,
    n_points: int,
    n_frames: int,
    data_block: int,
    point_scale: float,
) -> list[Remark]:
    """Tell what the header says otherwise than the parameters.

    Parameters
    ----------
    parameters
        As read.
    n_points, n_frames, data_block, point_scale
        What the header says.

    Examples
    --------
    >>> import numpy as np
    >>> from leadfoot.ground.c3d_parameters import Parameter
    >>> frames = Parameter(shape=(), numbers=np.array([8000.0]))
    >>> said = Parameters(by_name={("POINT", "FRAMES"): frames}, words=None)
    >>> [remark] = about_counts(said, n_points=0, n_frames=7936, data_block=4, point_scale=1.0)
    >>> remark.text
    'Header and parameters of the file contradict each other: 7936 frames against 8000.'
    """
    found = list(
        _contradictions(
            parameters,
            n_points=n_points,
            n_frames=n_frames,
            data_block=data_block,
            point_scale=point_scale,
        )
    )
    if not found:
        return []
    return [
        Remark(
            kind="contradiction",
            weight="doubt",
            text=f"Header and parameters of the file contradict each other: {'; '.join(found)}.",
            fix="Compare the weight with a scale; copy or export the file again.",
        )
    ]


def _contradictions(
    parameters: Parameters, *, n_points: int, n_frames: int, data_block: int, point_scale: float
) -> Iterator[str]:
    told = parameters.count("POINT", "USED", n_points)
    if told != n_points:
        yield f"{n_points} points against {told}"
    frames = parameters.count("POINT", "FRAMES", 0)
    if 0 < frames < _FRAMES_HELD and n_frames not in {frames, 0}:
        yield f"{n_frames} frames against {frames}"
    start = parameters.count("POINT", "DATA_START", 0)
    if start and data_block and start != data_block:
        yield f"samples from block {data_block} against {start}"
    scale = parameters.number("POINT", "SCALE", point_scale)
    if not abs(scale - point_scale) <= _SAME * abs(point_scale):
        yield f"a scale of the points of {point_scale:g} against {scale:g}"
    end, counted = parameters.ends_at, parameters.counted_to
    if 0 < counted < end:
        yield f"parameters up to byte {end} against {counted // BLOCK_BYTES} blocks"
