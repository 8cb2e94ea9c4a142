"""Building schedules: prepared tasks, resource profiles, the placer and the builder."""
