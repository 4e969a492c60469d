"""Messages and plurals: placeholders, counts, lists, and another language within a block."""

import gettext

import pytest

from tablegen.wording.message import OR, Message, Plural, listed, translated

OFFERED = Message("{family} is offered for {refrigerant}.")
WINDOWS = Plural("{count} window of {family}", "{count} windows of {family}")


class Backwards(gettext.NullTranslations):
    def gettext(self, message):
        return {OFFERED.text: "{refrigerant}: {family}"}.get(message, message)

    def ngettext(self, msgid1, msgid2, n):
        return "{family}: {count} (wenige)" if 2 <= n <= 4 else "{family}: {count}"


def test_a_language_lasts_for_its_block():
    with translated(Backwards()):
        assert OFFERED(family="Alder", refrigerant="R448A") == "R448A: Alder"
        assert WINDOWS(3, family="Alder") == "Alder: 3 (wenige)"
    assert OFFERED(family="Alder", refrigerant="R448A") == "Alder is offered for R448A."
    assert WINDOWS(0, family="Alder") == "0 windows of Alder"


@pytest.mark.parametrize("values", [{}, {"family": "Alder"}, {"family": "A", "refrigerant": "B", "size": "C"}])
def test_placeholders_are_given_exactly(values):
    with pytest.raises(TypeError, match=r"is offered for \{refrigerant\}\.' takes family, refrigerant; given: "):
        OFFERED(**values)
    with pytest.raises(TypeError, match="takes family; given: nothing"):
        WINDOWS(2)


def test_a_value_with_braces_is_only_a_value():
    assert OFFERED(family="{x}", refrigerant="{}") == "{x} is offered for {}."


@pytest.mark.parametrize("text", [OFFERED, WINDOWS])
def test_printing_without_a_call_is_refused(text):
    with pytest.raises(TypeError, match=r"call .* instead"):
        f"{text}"


@pytest.mark.parametrize(
    ("names", "text"), [([], ""), (["a"], "a"), (["a", "b"], "a or b"), (["a", "b", "c"], "a, b or c")]
)
def test_lists(names, text):
    assert listed(names, OR) == text
