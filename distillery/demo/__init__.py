"""The Marram Point season: an invented plant, DSP-XX-00000, in a coast town that does not exist."""
