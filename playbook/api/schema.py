"""What drf-spectacular cannot see by itself: our errors, strict bodies and the version that a change needs."""

from __future__ import annotations

from typing import Any

from drf_spectacular.openapi import AutoSchema

from playbook.api.problems import Problem

WRITES = ("POST", "PUT", "PATCH", "DELETE")
VERSION = {
    "type": "integer",
    "minimum": 0,
    "maximum": 2**63 - 1,
    "description": "The version you read; when somebody saved since, the answer is 409.",
}


class Schema(AutoSchema):
    """Adds the errors that every operation may answer with."""

    def _get_response_bodies(self, direction: str = "response") -> dict[str, Any]:
        bodies = super()._get_response_bodies(direction)
        for code in self._errors():
            if code not in bodies:
                bodies[code] = self._get_response_for_code(Problem, code, ["application/json"], direction)
        return bodies

    def _map_serializer_field(self, field: Any, direction: str, bypass_extensions: bool = False) -> dict[str, Any]:
        schema = super()._map_serializer_field(field, direction, bypass_extensions)
        if schema.get("type") == "array":
            least = getattr(field, "min_length", None) or (0 if getattr(field, "allow_empty", True) else 1)
            schema |= {"minItems": least} if least else {}
            schema |= {"maxItems": field.max_length} if getattr(field, "max_length", None) else {}
        return schema

    def _errors(self) -> list[str]:
        codes = ["400", "404"]
        if getattr(self.view, "permission_classes", None):
            codes += ["401", "403"]
        if self.method in WRITES or getattr(self.view, "derives", False):
            codes += ["422"]
        if self.method in ("PATCH", "DELETE") and getattr(self.view, "locks", False):
            codes += ["409"]
        return codes


def tighten(result: dict[str, Any], **_: Any) -> dict[str, Any]:
    """Returns the schema with bodies that take no unknown keys, and changes that must carry their version."""
    for name, component in result.get("components", {}).get("schemas", {}).items():
        if name.endswith("Request") and component.get("type") == "object":
            component["additionalProperties"] = False
        if name.startswith("Patched"):
            component["properties"] = {"version": VERSION} | component.get("properties", {})
            component["required"] = ["version"]
    for operations in result.get("paths", {}).values():
        for operation in operations.values():
            if "requestBody" in operation:
                operation["requestBody"]["required"] = True
    return result
