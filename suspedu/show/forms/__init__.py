"""Forms of the lessons: own machine, which adjuster, notes of set-ups. Each function makes a live one."""

from suspedu.show.forms.notes import notes_form
from suspedu.show.forms.own_machine import own_machine_form
from suspedu.show.forms.which_adjuster import which_adjuster_form

__all__ = ["notes_form", "own_machine_form", "which_adjuster_form"]
