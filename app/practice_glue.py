"""Practice goes on to the glue: a clock that can be put forward, and what an invented maker says by key there."""
from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from app.events import GlueChosen, GlueKind, Key, Passed, Pressed, Task
from app.glue_stage import Word
from app.invented_glue import lie_over_night

if TYPE_CHECKING:
    from app.invented_maker import Maker
    from app.session import Session

NIGHT_AND_DAY = timedelta(hours=26)  # longer than any glue wants


class PracticeClock:
    """The computer's, and as many days later as were slept through."""

    def __init__(self) -> None:
        self._later = timedelta()

    def __call__(self) -> datetime:
        return datetime.now(UTC) + self._later

    def put_forward(self, span: timedelta) -> None:
        self._later += span


class Nights:
    """Lets an invented whistle lie until the next day."""

    def __init__(self, maker: Maker, clock: PracticeClock) -> None:
        self._maker, self._clock = maker, clock

    def sleep(self, session: Session) -> bool:
        """The next day, where the walk waits for it; False where it does not."""
        if session.request().task is not Task.REST:
            return False
        lie_over_night(self._maker)
        self._clock.put_forward(NIGHT_AND_DAY)
        session.post(Passed(session.state.now_s, self._clock().isoformat()))
        return True

    def answer_by_key(self, session: Session) -> bool:
        """Where no sound answers: on from the chord, water-based glue, the next day; False where sound does."""
        place = session.state.place
        if session.glued() or not session.done():
            return False
        if not place.glue_asks:
            session.post(Pressed(Key.DONE))
        elif place.glue.word is Word.WHICH:
            session.post(GlueChosen(GlueKind.WATER))
        else:
            return self.sleep(session)
        return True
