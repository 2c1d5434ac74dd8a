"""Signing a record under the penalties of perjury: name, title and the law's statement.

The wording is prescribed by 27 CFR 19.45, which also asks for the title. 27 CFR 19.620(k) and
19.621(b)(6) ask for it on both halves of a transfer record.
"""

from typing import Any

from distillery.forms import RecordForm, TextField, YesField

WORDING = (
    "I declare under the penalties of perjury that this {document}, including supporting "
    "documents, has been examined by me and, to the best of my knowledge and belief, is true, "
    "correct, and complete."
)
TRANSFER_STATEMENT = WORDING.format(document="transfer record")


class SignedForm(RecordForm):
    """Base of a transfer record's half: who signs it, the title, and the statement."""

    signer = TextField(max_length=120, label="Signed by")
    signer_title = TextField(max_length=120, label="Title of who signs")
    statement = YesField(label=TRANSFER_STATEMENT)

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        # Whoever signs has read the rest first.
        last = ("signer", "signer_title", "statement", "at", "note")
        self.order_fields([*(name for name in self.fields if name not in last), *last])

    def clean(self) -> dict[str, Any]:
        """A statement that is made carries name and title (27 CFR 19.45)."""
        data = super().clean() or {}
        if data.get("statement"):
            for name, words in (("signer", "name"), ("signer_title", "title")):
                if not self.errors.get(name) and not data.get(name):
                    self.add_error(name, f"Give the {words} of who signs (27 CFR 19.45).")
        return data


def signed_line(fields: dict[str, Any], section: str) -> str:
    """Who signed, or that it is still to be signed, as *section* asks."""
    if fields["statement"]:
        return f"Signed by {fields['signer']}, {fields['signer_title']} (27 CFR 19.45)."
    return f"Not signed here: name, title and statement go on the paper ({section}, 19.45)."
