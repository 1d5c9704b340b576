"""Backups: how a nursery file is copied and proved, which copies are kept by themselves and for how long, and how one is put back."""
