"""``leadfoot ground``: what is found in a force recording, and what is odd about it."""

import json
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

import typer
from rich.console import Console
from rich.markup import escape
from rich.table import Table

from leadfoot.cli.files import LEFT_OUT, bytes_of
from leadfoot.cli.ground_swing import SwingWanted, find_swing, show_swing, write_picture
from leadfoot.desk.second_reader import second_opinion
from leadfoot.errors import InputError, UnitError
from leadfoot.ground.c3d import is_c3d
from leadfoot.ground.choices import Choices
from leadfoot.ground.form import reading_json
from leadfoot.ground.frame import AXES
from leadfoot.ground.method import GRAVITY_MPS2
from leadfoot.ground.quiet import quiet_stance
from leadfoot.ground.read import ForceReading, read_recording
from leadfoot.ground.recording import Foot, Hand, Recording
from leadfoot.ground.swing_form import swing_json
from leadfoot.ground.table_columns import ForceMapping
from leadfoot.ground.weight_basis import basis_of
from leadfoot.units import Dimension, parse_written, si_from

_FEET: dict[str, Foot | None] = {"lead": "lead", "trail": "trail", "both": "both", "none": None}
_WEIGHTS = {"note": "", "doubt": "doubt", "fault": "fault"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """The options as typed; None where nothing was said."""

    hand: Hand = "right"
    target: str | None = None
    feet: str | None = None
    sign: Literal["ground", "person"] | None = None
    rate_hz: float | None = None
    force_unit: str | None = None
    length_unit: str | None = None
    moment_unit: str | None = None
    mat: str | None = None
    depth: str | None = None
    z_down: bool = False
    weight: str | None = None
    weight_about: str | None = None
    mapping: Path | None = None
    save_mapping: Path | None = None
    compare: bool = True
    strike_s: float | None = None
    turn_s: float | None = None
    stature: str | None = None
    plot: Path | None = None


def run(file: Path, written: Written, *, as_json: bool) -> None:
    """Read a recording and print what was found."""
    reading = reading_of(file, written)
    if written.save_mapping is not None and reading.columns:
        written.save_mapping.write_text(reading.mapping().to_json() + "\n", encoding="utf-8")
    swing, why_not = None, ""
    if reading.recording is not None:
        swing, why_not = find_swing(reading.recording, _wanted(written))
    if swing is not None and written.plot is not None:
        from leadfoot.figures.ground import swing_picture

        write_picture(swing_picture(swing), written.plot)
    if as_json:
        form = {
            **reading_json(reading),
            "swing": None if swing is None else swing_json(swing),
            "no_swing": why_not or None,
        }
        typer.echo(json.dumps(form, ensure_ascii=False, allow_nan=False))
    else:
        show(reading, Console())
        if swing is not None:
            show_swing(swing, Console())
        elif why_not:
            Console().print(escape(f"no swing: {why_not}"))
    if reading.recording is None or reading.problems:
        raise typer.Exit(LEFT_OUT)


def reading_of(file: Path, written: Written) -> ForceReading:
    """Read a recording by the options as typed; a C3D file is compared with a second program."""
    data = bytes_of(file)
    reading = read_recording(data, choices=choices_of(written), mapping=_mapping(written.mapping))
    recording = reading.recording
    if recording is None or not written.compare or not is_c3d(data):
        return reading
    remarks = (*recording.remarks, *second_opinion(data, recording))
    return replace(reading, recording=replace(recording, remarks=remarks))


def recording_of(file: Path, written: Written | None = None) -> Recording:
    """Read a recording for another command.

    Raises
    ------
    InputError
        If questions are open, or a cell is no number.
    """
    reading = reading_of(file, written or Written(compare=False))
    for problem in reading.problems:
        raise InputError(
            f"Row {problem.row} of {file.name!r} has {problem.text!r} in {problem.column!r}, which "
            "is no number.",
            fix="Write the number, or leave out the rows around it.",
        )
    if reading.recording is None:
        raise InputError(
            f"{file.name!r}: {' '.join(reading.questions)}",
            fix="Answer with a mapping or an option of leadfoot ground.",
        )
    return reading.recording


def _wanted(written: Written) -> SwingWanted:
    return SwingWanted(
        strike_s=written.strike_s,
        turn_s=written.turn_s,
        stature_m=_si("--stature", written.stature, "length"),
        weight_n=_si("--weight", written.weight, "force"),
        plot=written.plot,
    )


def choices_of(written: Written) -> Choices:
    """Turn the options as typed into choices."""
    target = next((axis for axis in AXES if axis == written.target), None)
    if written.target is not None and target is None:
        raise typer.BadParameter(f"use one of: {' '.join(AXES)}", param_hint="--target")
    feet = None
    if written.feet is not None:
        words = [word.strip() for word in written.feet.split(",")]
        if not set(words) <= set(_FEET):
            raise typer.BadParameter(f"use: {', '.join(_FEET)}", param_hint="--feet")
        feet = tuple(_FEET[word] for word in words)
    signs: dict[str | None, Literal[1, -1] | None] = {None: None, "ground": 1, "person": -1}
    return Choices(
        hand=written.hand,
        target=target,
        feet=feet,
        sign=signs[written.sign],
        rate_hz=written.rate_hz,
        force_unit=written.force_unit,
        length_unit=written.length_unit,
        moment_unit=written.moment_unit,
        mat_m=_si("--mat", written.mat, "length") or 0.0,
        depth_m=_si("--depth", written.depth, "length"),
        z_down=written.z_down,
        scale_n=_si("--weight", written.weight, "force"),
        confirmed_n=_si("--weight-about", written.weight_about, "force"),
    )


def _si(option: str, text: str | None, dimension: Dimension) -> float | None:
    if text is None:
        return None
    try:
        return si_from(*parse_written(text, dimension))
    except UnitError as error:
        raise typer.BadParameter(str(error), param_hint=option) from error


def _mapping(file: Path | None) -> ForceMapping | None:
    if file is None:
        return None
    return ForceMapping.from_json(bytes_of(file).decode("utf-8", errors="replace"))


def show(reading: ForceReading, console: Console) -> None:
    """Print columns, plates, remarks and questions for a person."""
    if reading.columns:
        columns = Table("column", "holds", "plate", "unit", "", "because", box=None)
        for column in reading.columns:
            columns.add_row(
                escape(column.header),
                column.quantity or "",
                str(column.plate or ""),
                column.unit or "",
                "" if column.sure else "doubt",
                escape(column.reason),
            )
        console.print(columns)
        console.print()
    if reading.recording is not None:
        _show_recording(reading.recording, console)
    for question in reading.questions:
        console.print(f"[bold]?[/bold] {escape(question)}")
    for problem in reading.problems:
        place = f"row {problem.row}, " if problem.row is not None else ""
        console.print(f"left out: {place}{escape(problem.column or '')}: {escape(problem.reason)}")


def _show_recording(recording: Recording, console: Console) -> None:
    source = recording.source
    console.print(
        f"{len(recording)} samples, {recording.rate_hz:g} a second ({escape(source.rate_reason)}); "
        f"{source.force_unit}, {source.length_unit}, {source.moment_unit} "
        f"({escape(source.unit_reason)})"
    )
    console.print(f"sign: {escape(source.sign_reason)}", f"frame: {source.turned}", sep="\n")
    quiet = quiet_stance(recording.vertical_n, recording.rate_hz)
    if quiet is not None:
        basis = basis_of(quiet.weight_n, recording.known_weight)
        console.print(
            f"weight {quiet.weight_n:.1f} N ({quiet.weight_n / GRAVITY_MPS2:.1f} kg) in quiet "
            f"stance from {recording.time_s[quiet.first]:.2f} s, spread {quiet.spread_n:.1f} N; "
            f"it {basis.words}"
        )
        if not basis.is_known:
            console.print(
                "[bold]Is this weight about right?[/bold] Until you say so with "
                f"--weight-about {quiet.weight_n / GRAVITY_MPS2:.1f}kg, or give that of a scale "
                "with --weight, nothing is in % of it."
            )
    plates = Table("plate", "foot", "sees", "greatest force", box=None)
    for plate in recording.plates:
        plates.add_row(
            plate.name,
            plate.foot or "not known",
            plate.sees.replace("_", " "),
            f"{plate.vertical_n.max():.0f} N",
        )
    console.print(plates)
    for remark in recording.remarks:
        word = _WEIGHTS[remark.weight]
        text = f"{remark.text} {remark.fix}" if word else remark.text
        console.print(f"[bold]{word}:[/bold] {escape(text)}" if word else escape(text))
