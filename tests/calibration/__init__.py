"""How often the program is right: invented athletes with a known truth, judged from their logs by the program as it is."""
