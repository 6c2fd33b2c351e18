"""The formula register: one line of text gives the value, the proof, the printed form and the JavaScript."""
