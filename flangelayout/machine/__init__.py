"""What is set at a machine to drill a flange: readout coordinates, dividing head, rotary table, drilling program."""
