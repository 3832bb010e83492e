"""What the shop has: kept, refused, and not removed while a plan uses it."""

import pytest
from django.core.exceptions import ValidationError

from builds.models import Build, Machine, Material
from builds.services.shop import items as shop
from tests import factories


def test_a_machine_and_a_material_are_kept(db: None) -> None:
    shop.keep(item=Machine(name="Lathe", speeds=[60, 110, 200], power_watts=370.0))
    shop.keep(item=Material(name="Gunmetal", density=8800.0))

    assert Machine.objects.get().speeds == [60, 110, 200]
    assert Material.objects.get().density == 8800.0


def test_what_is_refused_is_not_kept(db: None) -> None:
    with pytest.raises(ValidationError, match="more than nothing"):
        shop.keep(item=Machine(name="Lathe", power_watts=-1.0))
    shop.keep(item=Material(name="Gunmetal"))
    with pytest.raises(ValidationError, match="a material of that name already"):
        shop.keep(item=Material(name="Gunmetal"))

    assert not Machine.objects.exists()
    assert Material.objects.count() == 1


def test_what_no_plan_uses_goes(db: None) -> None:
    machine = factories.make_machine()
    shop.remove(item=machine)

    assert not Machine.objects.exists()


def test_what_a_plan_uses_stays_and_says_how_often(db: None) -> None:
    build = factories.make_build()
    machine, material = factories.make_machine(), factories.make_material()
    factories.make_part(build, operations=[{"kind": "turning", "machine": machine}], material=material)
    with pytest.raises(ValidationError, match="Lathe is used 1 time in the plans"):
        shop.remove(item=machine)
    factories.make_part(build, number="15", material=material)
    with pytest.raises(ValidationError, match="Cast iron is used 2 times in the plans"):
        shop.remove(item=material)

    assert (Machine.objects.count(), Material.objects.count()) == (1, 1)


def test_the_shop_belongs_to_no_builds_revision(db: None) -> None:
    build = factories.make_build()
    shop.keep(item=Machine(name="Lathe"))

    assert Build.objects.get(pk=build.pk).revision == build.revision


def test_a_machine_that_is_out_of_order_comes_back_so(db: None) -> None:
    with pytest.raises(ValidationError, match="since when it is out of order"):
        shop.keep(item=Machine(name="Lathe", out_of_order_note="belt"))
    machine = shop.keep(item=Machine(name="Lathe", out_of_order_since_on=factories.TODAY, out_of_order_note="belt"))
    shop.put_back(kept=shop.remove(item=machine))

    back = Machine.objects.get()
    assert (back.out_of_order_since_on, back.out_of_order_note) == (factories.TODAY, "belt")
