"""Findings as matplotlib figures: once for screen and paper, no pyplot.

    interval_figure(finding, names, style="light", *, leading=None, width_px, height_px) -> Picture
    cook_days_figure(finding, names, style="light", *, width_px, height_px) -> Picture
    interval_words(finding, names), cook_days_words(finding, names) -> (sentence, PictureTable)
    threads_figure, means_figure, curve_figure(SeveralFinding, names, style) -> Picture
    feasibility_figure(planning.feasibility.Curve, style, *, below, width_px, height_px) -> Picture

in `interval`, `cook_days`, `threads`, `method_means`, `setting_curve` and `feasibility`. A Picture
holds the Figure, one sentence that says what it shows, and the table behind "Show as table".
Styles: "light", "dark", the same followed by " field", "paper". Sizes are in pixels at 96 to the
inch; `interval.interval_height(finding)` and `threads.threads_height(found)` say what is needed.
"""
