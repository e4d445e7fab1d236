"""Every row of a file ends as something: what the tests hold all readings to."""

from leadfoot.shots.reading import TableReading


def check_accounts(reading: TableReading) -> None:
    """Check that no row is lost without a word."""
    by_kind: dict[str, list[int]] = {}
    for row, kind in enumerate(reading.row_kinds, start=1):
        by_kind.setdefault(kind, []).append(row)
    assert reading.shots.rows.tolist() == by_kind.get("shot", [])
    told = {problem.row for problem in reading.problems}
    assert set(by_kind.get("problem", [])) <= told
    if "unread" in by_kind:
        assert None in told
    assert len(by_kind.get("summary", [])) == reading.n_summary_rows
    lengths = {len(reading.shots.blocks), len(reading.shots.clubs), len(reading.shots.rows)}
    lengths |= {len(column.values) for column in reading.shots.readings.values()}
    assert len(lengths) == 1
    unsure = {column.header for column in reading.columns if not column.sure}
    assert {question.column for question in reading.questions} <= unsure
    for block in reading.blocks:
        assert block.first_row <= block.last_row
