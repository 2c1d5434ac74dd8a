"""A lot that may be all gone by now: a closed run, whose stillage is still to be told of."""

from distillery.forms.fields import LotField


class PastLotField(LotField):
    """As LotField; a page offers the newest lots of its stages, whether any is left or not."""
