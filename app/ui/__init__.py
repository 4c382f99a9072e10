"""The window: paints a `app.view.View` and turns keys and clicks into the walk's events. PySide6 lives here only."""
