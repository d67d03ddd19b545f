"""The table of reasons: ours, and how a shop's own is told what is wrong with it."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from taperlab.files.problem import FileProblem
from taperlab.files.reasons import load_reasons, own_reasons_file, reasons_file
from taperlab.model.line import Style
from taperlab.model.which_head import Casting
from taperlab.shipped import resource
from taperlab.trade.reasons import (
    ANSWERS,
    TABLE,
    BadReasons,
    Question,
    reasons_of,
    shipped_reasons,
)

OURS = resource(*TABLE).read_text(encoding="utf-8")
HEAD = "question,answer,Skagit,Scandi,short belly,mid belly,long belly,words,source\n"
ROW = "casting,sustained,3,0,-1,,+1,Because.,a shop\n"


def test_every_reason_has_its_sentence_and_whose_word_it_is() -> None:
    table = shipped_reasons()
    assert len(table) >= 15
    for each in table:
        assert str(each.words).endswith(".")
        assert each.source
        assert any(each.points)
    # Every question has a reason.
    assert {each.question for each in table} == set(Question) == set(ANSWERS)


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_a_table_is_read_as_spreadsheets_write_it(separator: str) -> None:
    text = "\ufeff# our own\n\n" + (HEAD + ROW).replace(",", separator)
    (reason,) = reasons_of(text)
    assert (reason.question, reason.answer) == (Question.CASTING, Casting.SUSTAINED)
    assert reason.points == (3, 0, -1, 0, 1)
    assert reason.for_style(Style.SHORT_BELLY) == -1
    assert str(reason.words) == "Because."


def test_columns_may_stand_in_any_order() -> None:
    text = "Source,WORDS,long belly,Skagit,answer,question,Scandi,mid belly,short belly\n"
    text += 'a shop,"Long, and so on.",1,2,learning,casting,3,4,−5\n'
    (reason,) = reasons_of(text)
    assert reason.points == (2, 3, -5, 4, 1)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "row 1: found nothing"),
        (HEAD, "row 1: found nothing, expected headings and a reason"),
        (HEAD.replace("Scandi", "Scandinavian"), "row 1, column “Scandinavian”: found no such"),
        (HEAD.replace(",Scandi", ""), "row 1, column “Scandi”: found none"),
        (HEAD.replace("Scandi", "Skagit"), "row 1, column “Skagit”: found it twice"),
        (HEAD + ROW.replace("casting", "cating"), "row 2, column “question”: found “cating”"),
        (HEAD + ROW.replace("sustained", "slow"), "row 2, column “answer”: found “slow”, expected"),
        (HEAD + ROW + ROW, "row 3, column “answer”: found this answer a second time"),
        (
            HEAD + ROW.replace(",3,", ",3.5,"),
            "row 2, column “Skagit”: found “3.5”, expected",
        ),
        (HEAD + "\n" + ROW.replace("+1", "lots"), "row 3, column “long belly”: found “lots”"),
        (HEAD + ROW.replace(",3,", ",99,"), "row 2, column “Skagit”: found “99”"),
        (HEAD + ROW.replace("Because.", ""), "row 2, column “words”: found nothing"),
        (HEAD + ROW.replace("a shop", " "), "row 2, column “source”: found nothing"),
        (HEAD + ROW.replace("Because.", "row}"), "row 2, column “words”: found a brace"),
        (HEAD + ROW.replace("Because.", "{row"), "row 2, column “words”: found a brace"),
        (HEAD + ROW.replace("Because.", '"Because'), "row 2: found a cell that can’t be read"),
        (HEAD + "casting,sustained\n", "row 2, column “words”: found nothing"),
        (HEAD + 300 * ROW, "found this answer a second time"),
    ],
)
def test_a_bad_edit_is_one_sentence_with_row_and_column(text: str, said: str) -> None:
    with pytest.raises(BadReasons) as caught:
        reasons_of(text)
    sentence = str(caught.value.sentence)
    assert said in sentence
    assert "\n" not in sentence


def test_damaged_tables_are_read_or_refused() -> None:
    chance = random.Random(11)
    for _ in range(300):
        text = list(OURS)
        for _ in range(chance.randrange(1, 6)):
            at = chance.randrange(len(text))
            text[at] = chance.choice(['"', ",", "\n", "x", "9", "-", "\x00", "", "\r", "ß"])
        try:
            assert reasons_of("".join(text))
        except BadReasons as problem:
            said = str(problem.sentence)
            assert said.startswith("row ")


def test_a_shop_puts_its_own_table_in_place_of_ours(tmp_path: Path) -> None:
    own = tmp_path / "shop" / "which_head.csv"
    assert load_reasons(own) == shipped_reasons()
    assert own_reasons_file(own) == own
    assert own.read_text(encoding="utf-8") == OURS
    assert load_reasons(own) == shipped_reasons()
    own.write_text(HEAD + ROW, encoding="utf-8")
    assert own_reasons_file(own).read_text(encoding="utf-8") == HEAD + ROW
    assert len(load_reasons(own)) == 1
    own.write_text(HEAD + ROW.replace(",3,", ",x,"), encoding="utf-8")
    with pytest.raises(FileProblem, match=r"which_head\.csv, row 2, column “Skagit”"):
        load_reasons(own)


def test_it_lies_beside_the_preferences() -> None:
    assert reasons_file().name == TABLE[-1]
