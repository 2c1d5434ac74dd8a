"""What the top floor keeps of its own: papers as they were filed."""

from reports.models.filed import Filed

__all__ = ["Filed"]
