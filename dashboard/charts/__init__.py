"""Frames to Altair charts, each with its text alternative. No chart reads a store or knows of the pages."""
