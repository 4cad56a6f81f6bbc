"""Constants of nature that more than one topic needs."""

GRAVITY = 9.80665  # m/s2, standard gravity (NIST SP 811)
