"""What all models of the owner's files share."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class Model(BaseModel):
    """Frozen, and strict about names: an unknown field is an error. Validators are built when first used, since a
    command uses few of them."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True, defer_build=True)


class Noted(Model):
    """note: what somebody saw or wants remembered; refs: where more of it is, as a drawing's file, an address, an order's
    number. No plan depends on them."""

    note: str = ""
    refs: tuple[str, ...] = ()

    def noted(self) -> list[tuple[str, str]]:
        """What is written in both fields, each with its label."""
        return [(label, said) for label, said in (("note", self.note), ("see", ", ".join(self.refs))) if said]
