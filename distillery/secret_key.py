"""The key that signs sessions: from the environment, or made once and kept private."""

import os
import secrets
from pathlib import Path


def secret_key(*, data_dir: Path) -> str:
    """The signing key: `DISTILLERY_SECRET_KEY`, else the one kept in `data_dir/secret_key`.

    Where neither exists, a key of 50 random bytes is made and kept with mode 0600.
    """
    given = os.environ.get("DISTILLERY_SECRET_KEY", "")
    if given:
        return given
    kept = data_dir / "secret_key"
    if not kept.exists():
        _keep(kept, secrets.token_urlsafe(50))
    return kept.read_text(encoding="ascii").strip()


def _keep(path: Path, key: str) -> None:
    # Linking is atomic: of two processes that start together one wins, and neither
    # can read a file that is still empty.
    draft = path.with_name(f"{path.name}.{os.getpid()}")
    with os.fdopen(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as file:
        file.write(key)
    try:
        os.link(draft, path)
    except FileExistsError:
        pass
    finally:
        draft.unlink()
