"""Everything that touches the disk: whole files, printers, starters, templates, the job in a sheet."""
