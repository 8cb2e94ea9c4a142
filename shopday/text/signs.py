"""One sign for one thing, on all screens and pages, each one cell wide; the words next to it say the same."""

from __future__ import annotations

WORK, UNDER_WAY, PUT_DOWN, DONE = "▪", "►", "‖", "✓"
WAIT, BREAK, URGENT, ARRIVES, LEAVES, DELIVERY, PROMISED, OTHER = "○", "–", "!", "↓", "↑", "◆", "◇", "·"

LETTERS = {
    WORK: "*", UNDER_WAY: ">", PUT_DOWN: "=", DONE: "x", WAIT: "o", BREAK: "-", ARRIVES: "v", LEAVES: "^",
    DELIVERY: "#", PROMISED: "<", OTHER: ".", "─": "-", "→": ">", "≡": "=", "\u2019": "'",
}  # fmt: skip
"""What stands for a sign where it cannot be shown, each one letter as well."""

MEANINGS = {
    WORK: "work to do",
    UNDER_WAY: "under way",
    PUT_DOWN: "put down",
    DONE: "done",
    WAIT: "a wait, its end",
    BREAK: "a break",
    URGENT: "see to it first",
    ARRIVES: "comes in",
    LEAVES: "goes out",
    DELIVERY: "a job finished",
    PROMISED: "a day promised",
    OTHER: "something else",
}
