"""What is pinned to the wall and laid on the table: papers of a trial as PDF, on A4 or Letter.

    paper_bytes(records, Wanted("cards", "letter", sitting_id)) -> bytes      papers.making
    papers.making.PAPERS: name -> what it is, and whether it belongs to a cook day or a sitting

`plan`, `places` (which piece goes where), `weighing` and `weighing_without` (without methods, for
whoever trims and seasons) belong to the trial; `plates` (the server's page, the only one with the
key), `labels` and `cards` belong to a sitting. Labels and cards are made from codes, aliases and
questions alone: no method, sign or ink of a method is ever given to their templates.
"""
