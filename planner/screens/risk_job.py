"""A study of risk in the background, so that the page stays alive while it runs."""

from __future__ import annotations

from dataclasses import replace
from threading import Event, Thread

from planner.model.campaign import Campaign
from planner.plan.plan import Plan
from planner.risk.inputs import RiskInputs
from planner.risk.study import Settings, StoppedError, Study
from planner.workflow.risking import NothingPlannedError, study_plan


class RiskJob:
    """A plan that is lived many times, from its start to a study, a reason, or a stop.

    Parameters
    ----------
    campaign, plan
        What is lived.
    inputs
        What is drawn.
    settings
        Runs, seed and rule.
    """

    def __init__(
        self, campaign: Campaign, plan: Plan, inputs: RiskInputs, settings: Settings
    ) -> None:
        self.plan = plan
        self.share = 0.0
        self.study: Study | None = None
        self.failure = ""
        self._campaign = campaign
        self._inputs = inputs
        self._stop = Event()
        self._settings = replace(settings, stop=self._stop.is_set, tell=self._tell)
        self._thread = Thread(target=self._work, name="ebbwork-risk", daemon=True)

    def start(self) -> None:
        """Begin to live the plan."""
        self._thread.start()

    def stop(self) -> None:
        """Ask to end; nothing is kept."""
        self._stop.set()

    def running(self) -> bool:
        """Return whether lives are still being lived."""
        return self._thread.is_alive()

    def wait(self, seconds: float) -> bool:
        """Wait for the end, at most some seconds; return whether it has come."""
        self._thread.join(seconds)
        return not self._thread.is_alive()

    def _tell(self, share: float) -> None:
        self.share = share

    def _work(self) -> None:
        self.failure = "The planner stopped with a fault; its terminal says more."
        try:
            self.study = study_plan(self._campaign, self.plan, self._inputs, self._settings)
        except StoppedError:
            self.failure = "Stopped; nothing was kept."
        except NothingPlannedError:
            self.failure = "Nothing is planned, so there is nothing to live."
        else:
            self.failure = ""
