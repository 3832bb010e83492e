"""What every object of a record file is: fields that it knows, null as good as left out, rules between fields."""

from collections.abc import Callable, Sequence
from functools import cache
from typing import Any, ClassVar, NamedTuple, Self, get_args

from pydantic import BaseModel, ConfigDict, GetJsonSchemaHandler, model_validator
from pydantic.fields import FieldInfo
from pydantic_core import CoreSchema

from builds.transfer.complaints import RecordError
from calcs.messages import _


class Rule(NamedTuple):
    """What several fields say together: where it is broken, the sentence is said of one of them."""

    field: str
    sentence: str
    is_broken: Callable[[Any], object]


class Row(BaseModel):
    """One object of the file. Fields that it does not know are refused; one that is null counts as left out."""

    model_config = ConfigDict(extra="forbid", strict=True)
    rules: ClassVar[Sequence[Rule]] = ()

    @model_validator(mode="after")
    def _follows_its_rules(self) -> Self:
        for rule in self.rules:
            if rule.is_broken(self):
                raise RecordError(rule.field, _(rule.sentence))
        return self

    @classmethod
    @cache
    def fields(cls) -> dict[str, FieldInfo]:
        """The fields by what the file calls them."""
        return {field.alias or name: field for name, field in cls.model_fields.items()}

    @classmethod
    @cache
    def children(cls) -> dict[str, type["Row"]]:
        """The rows (or the one object) that stand in a field, by its name."""
        kinds = {name: (field.annotation, *get_args(field.annotation)) for name, field in cls.model_fields.items()}
        return {n: kind for n, of in kinds.items() for kind in of if isinstance(kind, type) and issubclass(kind, Row)}

    @model_validator(mode="before")
    @classmethod
    def _null_is_left_out(cls, data: Any) -> Any:
        if not isinstance(data, dict) or None not in data.values():
            return data
        return {name: value for name, value in data.items() if value is not None or name not in cls._never_null()}

    @classmethod
    @cache
    def _never_null(cls) -> frozenset[str]:
        return frozenset(name for name, field in cls.fields().items() if field.default is not None)

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        published = handler.resolve_ref_schema(handler(schema))
        for name, field in published["properties"].items():
            field.pop("title", None)
            if name in cls._never_null() and not cls.fields()[name].is_required():
                published["properties"][name] = {"anyOf": [field, {"type": "null"}]}
        return published
