"""What exists in the trade: connectors, carriers, cables and gear types, as tables."""
