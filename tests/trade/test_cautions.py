import pytest

from taperlab.trade.cautions import Topic, caution, cautions


def test_every_topic_has_one_caution():
    assert sorted(each.topic for each in cautions()) == sorted(Topic)


@pytest.mark.parametrize("topic", Topic)
def test_cautions_are_short_and_defer(topic):
    found = caution(topic)
    assert found.topic is topic
    assert len(f"{found.title}: {found.text} {found.defer}") < 320
    others = ("maker", "local rules", "doctor", "instructor")
    assert any(word in found.defer.lower() for word in others)
