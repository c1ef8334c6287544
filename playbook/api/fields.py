"""Fields that take JSON values as they are: a number in quotes is no number, and 1 is not true."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from django.contrib.postgres.fields import ArrayField
from django.db import models
from rest_framework import serializers


class Words(serializers.CharField):
    """Text, and nothing else that could be turned into text."""

    def to_internal_value(self, data: Any) -> str:
        """Returns the text."""
        if not isinstance(data, str):
            raise serializers.ValidationError("Expected text.", code="invalid")
        return super().to_internal_value(data)


class Name(serializers.SlugField):
    """A short name without spaces."""

    def to_internal_value(self, data: Any) -> str:
        """Returns the name."""
        if not isinstance(data, str):
            raise serializers.ValidationError("Expected text.", code="invalid")
        return super().to_internal_value(data)


class Whole(serializers.IntegerField):
    """A whole number."""

    def to_internal_value(self, data: Any) -> int:
        """Returns the number."""
        if isinstance(data, bool) or not isinstance(data, int | float) or data != data or data % 1:
            raise serializers.ValidationError("Expected a whole number.", code="invalid")
        return int(data)


class Number(serializers.FloatField):
    """A finite number."""

    def to_internal_value(self, data: Any) -> float:
        """Returns the number."""
        if isinstance(data, bool) or not isinstance(data, int | float):
            raise serializers.ValidationError("Expected a number.", code="invalid")
        try:
            number = float(data)
        except OverflowError:
            number = math.inf
        if not math.isfinite(number):
            raise serializers.ValidationError("Expected a finite number.", code="finite")
        return number


class Hundredths(Number):
    """A number that the database keeps to two decimals."""

    def __init__(self, max_digits: int = 0, decimal_places: int = 2, **options: Any) -> None:
        super().__init__(**options)

    def to_internal_value(self, data: Any) -> Any:
        """Returns the number, rounded."""
        return Decimal(repr(super().to_internal_value(data))).quantize(Decimal("0.01"), ROUND_HALF_UP)


class YesNo(serializers.BooleanField):
    """True or false."""

    def to_internal_value(self, data: Any) -> bool:
        """Returns the truth."""
        if not isinstance(data, bool):
            raise serializers.ValidationError("Expected true or false.", code="invalid")
        return data


class Key(serializers.PrimaryKeyRelatedField):
    """The number of another row."""

    def to_internal_value(self, data: Any) -> Any:
        """Returns the row."""
        if isinstance(data, bool) or not isinstance(data, int):
            self.fail("incorrect_type", data_type=type(data).__name__)
        return super().to_internal_value(data)


MAPPING: dict[type[models.Field], type[serializers.Field]] = {
    **serializers.ModelSerializer.serializer_field_mapping,
    models.CharField: Words,
    models.TextField: Words,
    models.SlugField: Name,
    models.IntegerField: Whole,
    models.PositiveIntegerField: Whole,
    models.PositiveSmallIntegerField: Whole,
    models.PositiveBigIntegerField: Whole,
    models.BigAutoField: Whole,
    models.FloatField: Number,
    models.DecimalField: Hundredths,
    models.BooleanField: YesNo,
    ArrayField: serializers.ListField,
}
