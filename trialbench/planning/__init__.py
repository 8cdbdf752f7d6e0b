"""What is settled before anything is cooked or tasted: differences, plan, lots, codes, seals.

Steps come from `draw` (draw_lots, draw_for_new_pieces), `seal` (seal_plan), `after_seal`
(open_for_change, end_change: a sealed plan changed with a reason) and `sitting`
(seal_sitting, open_sitting, for Notebook.seal_key and open_key). Every random number comes from a
lot number through `lots`, so that anyone can draw it again.

Margins, and the lines their notes stand beside:

- `question_margin.margin_of_question`: "food", "usual", "idea", "varied 1", "varied 2", "came_out",
  "matters", "question", "settings", "compares", "decides", "else", "origin", "reference", "chapter"
- `methods_margin.margin_of_methods`: "stage:<id>", "stage:<id>:<field>", "next stage"
- `plan_margin.margin_of_plan`: "figures", "feasibility", "cook:<id>", "draw", "seal"
- `timetable_margin.margin_of_timetable`: "act:<key>", "clock:<instant>", "list"
- `cook_margin.margin_of_cook`: "piece:<id>", "piece:<id>:<checkpoint id>", "pair:<id>",
  "load:<id>", "loads", "cook"
- `tasting_margin.margin_of_tasting`: "key", "taster:<id>", "orders", "served", "allergens",
  "tasters", "samples"

A note's verb is an act of trialbench.notebook.acts under its own name, with what follows `book` as
text ("" for None): join_line, set_role, give_stage, set_plan, set_matters, choose_question,
come_back; or "go_to" (a line of the same page) or "open_trial" (a trial's id).

Nothing here loads the engine when imported; `feasibility.feasibility_of` does when called.
"""
