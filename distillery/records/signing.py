"""The statement under penalties of perjury, in the words prescribed by 27 CFR 19.45."""


def statement(document: str) -> str:
    """The statement for a *document* of that type, like ``transfer record``."""
    return (
        f"I declare under the penalties of perjury that this {document}, including supporting "
        "documents, has been examined by me and, to the best of my knowledge and belief, is "
        "true, correct, and complete."
    )
