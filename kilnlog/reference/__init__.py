"""Published tables, loaded once from ``resources/tables``, each row with source and standing."""
