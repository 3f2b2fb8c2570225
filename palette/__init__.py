"""Which section of a UV-painted wall panel gets which paint."""
