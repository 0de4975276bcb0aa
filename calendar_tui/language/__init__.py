"""The crew's language: what is shown to a crew, in the words of a catalogue in gettext's form."""
