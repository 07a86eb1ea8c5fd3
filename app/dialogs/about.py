"""What Loomwright is, and what it does not vouch for."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from app.dialogs.sheet_dialog import SheetDialog, say

PARAGRAPHS: tuple[tuple[str, str], ...] = (
    ("title", "Loomwright"),
    ("", "Plans a gigging player's rig once, proves it at every house, and writes the sheets the house gets."),
    ("heading", "Cautions"),
    ("", "The rules know what the catalogue and the house have told them. A figure marked typical is not yours: "
         "read the back of your own gear."),
    ("", "Mains: the sums say what a circuit would carry, not whether it is safe. Never lift the protective earth. "
         "Leave distribution to a qualified person."),
    ("", "Loudspeaker outputs carry enough to destroy what is not a loudspeaker. Check the plug in your hand, "
         "not only the one on the sheet."),
    ("", "Hearing: no sum here protects an ear. Start low."),
    ("heading", "Made with"),
    ("", "Qt for Python, networkx, pydantic, reportlab, and the Fira Sans faces (SIL OFL 1.1)."),
)


class About(SheetDialog):
    """A page of plain text."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(say("About and cautions"), say("Close"), parent)
        self.no.hide()
        for role, text in PARAGRAPHS:
            if role == "heading":
                self.form.heading(self.tr(text))
            else:
                self.form.say(self.tr(text), role)
        self.form.finish()
        self.fit(480)
