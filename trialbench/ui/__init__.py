"""Qt, and Qt nowhere else: the bound notebook, and the kit its pages are made of.

A page is written with these parts (each module says the rest):

- `page` Page, PageEntry, Desk. `leaf` Leaf (`add`, `set_title`, `set_verb`, `anchor`).
- `text` Line (paragraph of words, values and verbs), Rule, dotted. `runs` Run.
- `verbs` Verb (head of a page), TextVerb (in a line).
- `blanks` Blank. `values` Value, MethodField. `choices` Choice (boxed or in a line). All of
  them: `typed`, `committed`, `keep`, `show_kept`, `show_draft`, `refuse`.
- `cells` Cell, Column, CellsModel with `cells_table` CellsTable. `table` ReadingTable.
- `signs` MethodSign. `cord` Cord. `thread` ThreadPicture. `envelope` Envelope.
  `pair_block` PairBlock. `rows` Row (parts on one baseline).
- `contents_line` ContentsLine, Chapter. `figure_view` FigureView. `strip` SeamProgress.
- `theme` colour, font, px. `background` Background. `history` History. `settings` Settings.

A whole page:

    class PlanPage(Page):
        key, title = "plan", msg("Plan")

        def build(self, leaf: Leaf) -> None:
            leaf.set_title(self.title, msg("Change it freely until it is sealed."))
            leaf.set_verb("seal", msg("Seal the plan"), due=True)
            self.days = Blank(msg("Cook days"), role="sentence")
            self.days.typed.connect(self._draft)
            self.days.committed.connect(self._write_days)
            self.line = Line("sentence", [self.days, msg(" cook days.")])
            leaf.add(self.line)
            leaf.anchor("days", self.line)

        def refresh(self, kinds: frozenset[str]) -> None:
            trial = self.desk.notebook.get(Trial, self.desk.trial_id)
            self.days.show_kept(str(trial.planned_cooks))

        def margin(self) -> Margin:
            return Margin(msg("Can this trial give an answer?"), notes=(
                MarginNote("days", "shows", msg("4 cook days: what they can find"),
                           verbs=(NoteVerb(msg("Make it 8 cook days"), "days", ("8",)),)),))

        def do(self, name: str, args: tuple[str, ...]) -> None:
            if name == "days":
                self._write_days(args[0])

        @Slot(object)
        def _draft(self, text: str) -> None:
            self.desk.notebook.draft(f"trial:{self.desk.trial_id}:cooks", text)

        @Slot(object)
        def _write_days(self, text: str) -> None:
            try:
                step = plan_days(self.desk.notebook, self.desk.trial_id, text)
            except Refused as refused:
                self.days.refuse(refused, (NoteVerb(msg("Write it again"), "again"),))
                return
            refused = self.desk.take(step, clears_draft=...)
            if refused is None: self.days.keep(text)

It stands in the table of pages as `PageEntry("plan", 3, msg("Plan"), PlanPage, plan_state)`, where
`plan_state(notebook, trial_id)` gives the spine's two words and the stitch.
"""
