"""A training body's terms for the roles."""

import pytest

from annotator.errors import InvalidFile
from annotator.formats.roles import terms_csv
from annotator.model.roles import ROLES_OF_1_0


def test_each_role_has_a_term_by_whatever_it_is_called() -> None:
    text = "\ufeffRole;Term\nTeacher;Level 4\ntrainee-under-guidance;Level 2\n\n"
    assert terms_csv.loads(text, ROLES_OF_1_0) == {"teacher": "Level 4", "trainee under guidance": "Level 2"}


def test_two_roles_may_share_a_term() -> None:
    assert len(terms_csv.loads("role,term\nteacher,P\ntrainee,P\ntrainee,P\n", ROLES_OF_1_0)) == 2


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("role\nteacher\n", "must name the columns: role, term"),
        ("role,term\nteecher,P\n", "row 2: There is no performer “teecher”; available: “teacher”, “trainee” and"),
        ("role,term\nteacher,P\nTeacher,S\n", "row 3: “teacher” has the term “P” already"),
        ("role,term\nteacher,\n", "row 2: the term is empty"),
        (f"role,term\nteacher,{'x' * 201}\n", "longer than 200 characters"),
        ("role,term\nteacher,P,more\n", "row 2: has more cells"),
        ("role,term\n" + "x,y\n" * 50_000, "characters are more than the 100,000 that are read"),
        ("role,term\n" + "teacher,P\n" * 1_001, "only 1,000 rows are read"),
        ('role,term\n"teacher,P\n', "quotation mark"),
    ],
)
def test_what_is_no_such_table_is_refused(text: str, fault: str) -> None:
    with pytest.raises(InvalidFile) as refused:
        terms_csv.loads(text, ROLES_OF_1_0)
    assert fault in str(refused.value)
