"""The JSON form of a reading, word for word."""

import json

from leadfoot.shots.form import read_json
from leadfoot.shots.read import read_table

LINES = [
    "Block;Club;Club speed (mph);Ball speed (mph);Smash;Offline (yd)",
    "before;7i;126.2;107.1;1.37;4 L",
    "before;7i;128.6;oops;1.38;2 R",
    "after;7i;124.3;104.8;1.36;-",
]


def test_a_reading_has_the_form_that_scripts_rely_on() -> None:
    found = read_json(read_table("\n".join(LINES).encode()))
    assert json.loads(json.dumps(found, allow_nan=False)) == found
    assert list(found) == ["schema", "columns", "blocks", "shots", "problems"]
    assert found["schema"] == "leadfoot.read/1"
    assert found["columns"][1] == {
        "header": "Club",
        "quantity": None,
        "unit": None,
        "reason": "the header says 'Club'",
        "sure": True,
    }
    assert found["columns"][3] == {
        "header": "Ball speed (mph)",
        "quantity": "ball_speed",
        "unit": "mph",
        "reason": "the header says 'Ball speed', a term for ball speed; mph by the header",
        "sure": True,
    }
    assert found["blocks"] == [
        {"label": "before", "first_row": 2, "last_row": 3, "n_shots": 2},
        {"label": "after", "first_row": 4, "last_row": 4, "n_shots": 1},
    ]
    assert found["shots"][1] == {
        "row": 3,
        "block": "before",
        "club": "7 iron",
        "values": {
            "club_speed": {"value": 128.6, "unit": "mph"},
            "smash_factor": {"value": 1.38, "unit": None},
            "offline": {"value": 2.0, "unit": "yd"},
        },
    }


def test_doubts_stand_among_the_problems_without_a_row() -> None:
    found = read_json(read_table("\n".join(LINES).encode()))
    assert found["problems"] == [
        {
            "row": None,
            "column": "Club speed (mph)",
            "text": "read in mph",
            "reason": "Most values of 'Club speed (mph)' are no club speed that a real swing gives "
            "in mph; are they in km/h?",
        },
        {
            "row": 3,
            "column": "Ball speed (mph)",
            "text": "oops",
            "reason": "This is no number; write a number, or - where there is none.",
        },
    ]


def test_damaged_letters_are_told_once() -> None:
    data = "Schläger;Ballgeschwindigkeit [km/h];Höhe [m]\nDriver;222,9;28\n".encode()
    reading = read_table(data.replace("ö".encode(), b"\xc3("))
    assert [(p.row, p.text) for p in reading.problems] == [(None, "characters: 1")]
    assert reading.shots.readings["ball_speed"].values.tolist() == [222.9]


def test_a_page_can_show_the_first_rows() -> None:
    reading = read_table("\n".join(LINES).encode())
    assert reading.preview[0] == (2, ("before", "7i", "126.2", "107.1", "1.37", "4 L"))
    assert reading.cells(1) == (("before", "7i", "126.2", "107.1", "1.37", "4 L"),)
    assert reading.count_rows() == {"header": 1, "shot": 3}
    assert reading.source == "semicolons, utf-8"
