"""The plan of a day out: leave, gather bait, fish one spot after another, be home in time."""
