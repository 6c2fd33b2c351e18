"""The course as typed objects: lessons, procedures, stations, rules, sheets, scheme; loaded and cross-checked."""
