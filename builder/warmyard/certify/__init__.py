"""The record: signed ledger, papers, sittings, certificates, clearance."""
