"""SQLite looks at foreign keys only when a transaction ends, so what is wrong shows up late there; but it does."""

import pytest
from django.db import IntegrityError, transaction

from builds.models import Entry, Operation, Part
from tests import factories


@pytest.mark.django_db(transaction=True)
def test_a_part_in_an_assembly_that_is_not_there_fails_when_the_transaction_ends() -> None:
    build = factories.make_build()

    with pytest.raises(IntegrityError), transaction.atomic():
        Part.objects.bulk_create([Part(build=build, number="1", name="Lost", assembly_id=987_654)])

    assert not Part.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_an_operation_pulled_from_under_an_entry_fails_when_the_transaction_ends() -> None:
    build = factories.make_build()
    part = factories.make_part(build)
    factories.make_entry(build, part=part)

    with pytest.raises(IntegrityError), transaction.atomic():
        Operation.objects.filter(part=part)._raw_delete(using="default")

    assert Entry.objects.get().operation == part.operations.get()
