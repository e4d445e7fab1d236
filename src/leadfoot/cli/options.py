"""The options that several commands share."""

from pathlib import Path
from typing import Annotated, Literal

import typer

Hand = Literal["right", "left"]
FileArgument = Annotated[Path, typer.Argument(help="A table of shots; - reads standard input.")]
BookOption = Annotated[
    str | None,
    typer.Option(
        "--book",
        envvar="LEADFOOT_BOOK",
        help="The client book: a file, or postgresql://NAME@HOST/DATABASE; none: your own.",
    ),
]
JsonOption = Annotated[bool, typer.Option("--json", help="Print JSON and nothing else.")]
LanguageOption = Annotated[
    str | None,
    typer.Option(
        "--language",
        help="Language of the printed sheet: en, de; none: the student's, else English.",
    ),
]
MappingOption = Annotated[
    Path | None, typer.Option("--mapping", help="A column mapping in JSON, instead of the guess.")
]
HandOption = Annotated[Hand, typer.Option("--handed", help="The student's hand.")]
ClubOption = Annotated[str, typer.Option(help="A generic club: driver, iron7, lob_wedge.")]
ClubsOption = Annotated[
    Path | None, typer.Option(help="A file of your own clubs, beside the generic ones.")
]
AttackOption = Annotated[str | None, typer.Option(help="Such as -4deg; up is positive.")]
PathOption = Annotated[str | None, typer.Option(help="Right of the target is positive.")]
FaceOption = Annotated[str | None, typer.Option(help="Right of the target is positive.")]
LoftOption = Annotated[str | None, typer.Option(help="Of the face at the strike.")]
ToeOption = Annotated[
    str | None, typer.Option(help="Such as 10mm from the middle of the face; heel is negative.")
]
HighOption = Annotated[
    str | None, typer.Option(help="Such as 5mm above the middle of the face; low is negative.")
]
TemperatureOption = Annotated[str | None, typer.Option(help="Such as 20degC or 68degF.")]
AltitudeOption = Annotated[str | None, typer.Option(help="Such as 500m or 1600ft.")]
PressureOption = Annotated[str | None, typer.Option(help="Such as 1013hPa or 29.9inHg.")]
HumidityOption = Annotated[str | None, typer.Option(help="Such as 50%.")]
WindOption = Annotated[str, typer.Option(help="Wind from behind is positive: -10mph is head wind.")]
CrosswindOption = Annotated[str, typer.Option(help="Wind blowing to the right is positive.")]
