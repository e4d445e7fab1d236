"""Force recordings of a lesson: received, understood, corrected, their strike set."""

from collections.abc import Callable
from dataclasses import dataclass

from leadfoot.desk.desk import Desk
from leadfoot.desk.force_words import Said, said_from
from leadfoot.desk.records import Block, Hand, StoredRecording
from leadfoot.errors import InputError, LeadfootError
from leadfoot.ground.phases import HAND_DOUBT_S, Impact, impact_by_clock, impact_of
from leadfoot.ground.read import ForceReading, read_recording
from leadfoot.ground.recording import Recording
from leadfoot.ground.swing import PressureSwing, swing_of
from leadfoot.ground.table_columns import ForceMapping

NOT_A_RECORDING = "Drop a C3D file, or a table with a column of vertical force."


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Found:
    """A recording as far as it could be understood."""

    stored: StoredRecording
    said: Said
    reading: ForceReading | None
    """None where the file can't be read at all."""
    swing: PressureSwing | None
    trouble: str
    """Why there is no swing, and what to do; empty where there is one."""

    @property
    def recording(self) -> Recording | None:
        """The plates, where they are understood."""
        return None if self.reading is None else self.reading.recording

    @property
    def impact(self) -> Impact | None:
        """The strike and who said so."""
        return None if self.swing is None else self.swing.impact

    @property
    def counts(self) -> bool:
        """Whether its numbers go into averages."""
        return self.swing is not None and self.stored.left_out_reason is None


Look = Callable[[StoredRecording], Found]
"""Reads a recording of the book, or gives it as it was read last."""


def receive(
    desk: Desk, lesson_id: int, *, name: str, data: bytes, block_id: int | None = None
) -> StoredRecording:
    """Keep a file byte for byte and take it as a recording, before anyone tries to understand it.

    It begins with what was said of the last recording of this lesson, and with the columns that
    were confirmed for its header. Without a block it goes into the one that is being hit.
    """
    book = desk.book
    file = book.keep_file(lesson_id, name=name, data=data, at=desk.clock())
    hand = _hand(desk, lesson_id)
    earlier = book.recordings(lesson_id)
    said = said_from(earlier[-1].choices_json, hand=hand).for_next() if earlier else None
    said, reading = _fitting(data, said or Said(), hand)
    stored = book.add_recording(
        file.id,
        block_id=_running_block(desk, lesson_id) if block_id is None else block_id,
        choices_json=said.to_json(),
        at=desk.clock(),
    )
    saved = book.mapping(reading.header_key) if reading is not None and reading.columns else None
    if saved is None or stored.mapping_json is not None:
        return stored
    return book.understand_recording(
        stored.id, choices_json=stored.choices_json, mapping_json=saved
    )


def look(desk: Desk, stored: StoredRecording) -> Found:
    """Read a recording of the book; reading only, nothing is written."""
    _, data = desk.book.raw_file(stored.raw_file_id)
    return found_in(stored, data, hand=_hand(desk, stored.lesson_id))


def found_in(stored: StoredRecording, data: bytes, *, hand: Hand) -> Found:
    """Read a recording from its bytes and what was said of it.

    Parameters
    ----------
    stored
        As the book holds it.
    data
        Its file.
    hand
        The student's hand, where nothing else was said.
    """
    said = said_from(stored.choices_json, hand=hand)
    mapping = None if stored.mapping_json is None else ForceMapping.from_json(stored.mapping_json)
    try:
        reading = read_recording(data, choices=said.choices, mapping=mapping)
    except LeadfootError as error:
        return Found(stored=stored, said=said, reading=None, swing=None, trouble=str(error))
    if reading.recording is None:
        asked = " ".join(reading.questions)
        return Found(stored=stored, said=said, reading=reading, swing=None, trouble=asked)
    try:
        swing = swing_of(
            reading.recording,
            strike_of(stored, reading.recording),
            entered_n=said.choices.scale_n,
            stature_m=said.stature_m,
            turn_s=said.turn_s,
        )
    except LeadfootError as error:
        return Found(stored=stored, said=said, reading=reading, swing=None, trouble=str(error))
    return Found(stored=stored, said=said, reading=reading, swing=swing, trouble="")


def strike_of(stored: StoredRecording, recording: Recording) -> Impact | None:
    """The strike: as someone set it, else as the file marks it, else by its trigger."""
    if stored.strike_s is None or stored.strike_from is None:
        return impact_of(recording)
    if stored.strike_from == "launch monitor":
        doubt_s = impact_by_clock(0.0, 0.0).doubt_s
        return Impact(time_s=stored.strike_s, source="launch monitor", doubt_s=doubt_s)
    return Impact(time_s=stored.strike_s, source="set by hand", doubt_s=HAND_DOUBT_S)


def understand(
    desk: Desk, recording_id: int, said: Said, *, mapping: ForceMapping | None = None
) -> Found:
    """Say what a recording is, and remember what its columns hold for the next with this header.

    Raises
    ------
    InputError
        If the file can't be read so; the book is as it was.
    """
    stored = desk.book.recording(recording_id)
    _, data = desk.book.raw_file(stored.raw_file_id)
    if mapping is None and stored.mapping_json is not None:
        mapping = ForceMapping.from_json(stored.mapping_json)
    reading = read_recording(data, choices=said.choices, mapping=mapping)
    text = None if mapping is None else mapping.to_json()
    stored = desk.book.understand_recording(
        recording_id, choices_json=said.to_json(), mapping_json=text
    )
    if text is not None and reading.columns:
        desk.book.save_mapping(reading.header_key, text, at=desk.clock())
    return found_in(stored, data, hand=_hand(desk, stored.lesson_id))


def confirm_weight(desk: Desk, recording_id: int) -> float:
    """Say that the weight of a recording is about right; give it in N.

    It holds for every recording of the lesson, those that come later included: each is compared
    with it, and one that weighs otherwise is not confirmed by it.

    Raises
    ------
    InputError
        If the recording has no weight yet.
    """
    stored = desk.book.recording(recording_id)
    found = look(desk, stored)
    if found.swing is None:
        raise InputError("The recording has no weight yet.", fix=found.trouble)
    weight_n = found.swing.weighing.weight_n
    hand = _hand(desk, stored.lesson_id)
    for one in desk.book.recordings(stored.lesson_id):
        said = said_from(one.choices_json, hand=hand)
        desk.book.understand_recording(
            one.id,
            choices_json=said.with_confirmed(weight_n).to_json(),
            mapping_json=one.mapping_json,
        )
    return weight_n


def set_strike(desk: Desk, recording_id: int, time_s: float | None) -> StoredRecording:
    """Set the strike by hand, or with None leave it to what the file says.

    Raises
    ------
    InputError
        If the time does not lie in the recording.
    """
    if time_s is None:
        return desk.book.set_strike(recording_id, None, None)
    impact_of(_plates(desk, recording_id), by_hand_s=time_s)
    return desk.book.set_strike(recording_id, time_s, "set by hand")


def strike_by_clock(
    desk: Desk, recording_id: int, *, monitor_s: float, first_sample_s: float
) -> StoredRecording:
    """Set the strike by the launch monitor's time.

    Parameters
    ----------
    desk, recording_id
        Of which recording.
    monitor_s, first_sample_s
        The strike, and the first sample of the recording, on one common clock. [s]

    Raises
    ------
    InputError
        If the time does not lie in the recording.
    """
    recording = _plates(desk, recording_id)
    time_s = recording.start_s + impact_by_clock(monitor_s, first_sample_s).time_s
    impact_of(recording, by_hand_s=time_s)
    return desk.book.set_strike(recording_id, time_s, "launch monitor")


def leave_out(desk: Desk, recording_id: int, reason: str) -> StoredRecording:
    """Leave a recording out of the averages, with the reason that the page will show.

    Raises
    ------
    InputError
        If no reason is given.
    """
    if not reason.strip():
        raise InputError(
            "A recording can't be left out without a reason.", fix="Choose a reason, or type one."
        )
    return desk.book.leave_out_recording(recording_id, reason.strip())


def _plates(desk: Desk, recording_id: int) -> Recording:
    found = look(desk, desk.book.recording(recording_id))
    if found.recording is None:
        raise InputError("The recording is not understood yet.", fix=found.trouble)
    return found.recording


def _hand(desk: Desk, lesson_id: int) -> Hand:
    return desk.book.student(desk.book.lesson(lesson_id).student_id).hand


def _running_block(desk: Desk, lesson_id: int) -> int | None:
    """The block of the last ball, else the last block."""
    shots = desk.book.shots(lesson_id)
    blocks: tuple[Block, ...] = desk.book.blocks(lesson_id)
    if shots:
        return shots[-1].block_id
    return blocks[-1].id if blocks else None


def _fitting(data: bytes, said: Said, hand: Hand) -> tuple[Said, ForceReading | None]:
    """What was said of the last recording where it fits this one, else the student's hand alone."""
    for one in (said, Said(choices=said_from("{}", hand=hand).choices)):
        try:
            return one, read_recording(data, choices=one.choices)
        except LeadfootError:
            continue
    return Said(choices=said_from("{}", hand=hand).choices), None
