import pytest

from taperlab.trade.cautions import Topic, caution, cautions, short_defer


def test_every_topic_has_one_caution():
    assert sorted(each.topic for each in cautions()) == sorted(Topic)


HAZARDS = {
    Topic.BLADE: ("away from your hand", "mat", "sharps tub", "count"),
    Topic.HEAT: ("104", "brittle", "burn", "cool"),
    Topic.FUMES: ("hydrogen chloride", "fresh air", "smokes"),
    Topic.ADHESIVE: ("skin", "eye", "irritates", "glued joint", "cotton", "hot", "pull", "doctor"),
}


@pytest.mark.parametrize(("topic", "hazards"), HAZARDS.items())
def test_the_short_form_leaves_no_hazard_out(topic, hazards):
    found = caution(topic)
    assert len(found.short) < len(f"{found.text} {found.defer}")
    for each in hazards:
        assert each in f"{found.text} {found.defer}".lower()
        assert each in found.short.lower()
    for each in ("maker", "local rules", "qualified people", "doctor"):
        assert each in short_defer().lower()


@pytest.mark.parametrize("topic", Topic)
def test_cautions_are_short_and_defer(topic):
    found = caution(topic)
    assert found.topic is topic
    assert len(f"{found.title}: {found.text} {found.defer}") < 320
    others = ("maker", "local rules", "doctor", "instructor")
    assert any(word in found.defer.lower() for word in others)
