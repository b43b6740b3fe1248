"""The scenario by subject. Every person, firm, street and telephone number (555-01xx) here is invented."""
