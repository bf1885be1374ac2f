"""The sample logbook: an invented small hardwood mill, simulated into the tables of ``sample_db``.

Nothing here was measured. Green moisture contents, specific gravities and rate limits are of the published
size for each species, so that the figures look like wood; schedules, people and places are made up.
"""
