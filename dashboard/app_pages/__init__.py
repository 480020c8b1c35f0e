"""The pages: each asks the store, draws, and says what is seen. No SQL, no arithmetic."""
