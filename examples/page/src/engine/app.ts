// SPDX-License-Identifier: GPL-3.0-or-later
// At the engine: the job, where it stands, and what is shown of it. A change is on the disk
// before the next thing is asked for.

import type { Core, Live } from "../core";
import { h } from "../dom";
import type { Store } from "../store";
import { questionsView } from "./ask";
import { closingView } from "./closing";
import { begin, go, type Job, measured, type Place } from "./job";
import { jobsView } from "./jobs";
import { readyView } from "./ready";
import { roundsView } from "./rounds";
import { reachOf, setupOf } from "./setup";
import { sheet } from "./sheet";
import { sweepView } from "./sweep";
import { verdictView } from "./verdict";

export interface App {
    readonly core: Core;
    readonly job: Job;
    /** The sweep that is being taken: what the job holds, and ready to hear. */
    live(): Live;
    /** Takes over what the live sweep holds. */
    hold(): Promise<void>;
    /** Keeps a change; what is shown stays. */
    keep(job: Job): Promise<void>;
    /** Keeps a change and shows it. */
    change(job: Job): Promise<void>;
    go(place: Place): Promise<void>;
}

const PLACES: Record<Place, { title: string; view: (app: App) => Node[] }> = {
    ready: { title: "Before", view: readyView },
    questions: { title: "Engine", view: questionsView },
    sweep: { title: "Readings", view: sweepView },
    verdict: { title: "Verdict", view: verdictView },
    rounds: { title: "Rounds", view: roundsView },
    closing: { title: "After", view: closingView },
};

export class Engine implements App {
    private running: Live | null = null;
    private lost = ""; // why nothing more is kept
    job: Job;

    private constructor(
        readonly core: Core,
        readonly store: Store<Job>,
        private readonly root: HTMLElement,
        job: Job,
    ) {
        this.job = job;
    }

    /** Goes on with the latest job that is kept, or begins one. */
    static async open(core: Core, store: Store<Job>, root: HTMLElement): Promise<Engine> {
        const jobs = await store.all();
        const engine = new Engine(core, store, root, jobs.at(-1) ?? begin(Date.now()));
        window.addEventListener("beforeprint", () => engine.print());
        return engine;
    }

    live(): Live {
        this.running ??= this.core.live(
            setupOf(this.job.answers).setup,
            reachOf(this.job.answers),
            this.job.readings,
        );
        return this.running;
    }

    hold(): Promise<void> {
        return this.take(measured(this.job, this.live().readings())).then(() => this.show());
    }

    keep(job: Job): Promise<void> {
        this.running?.free(); // made anew from the job when it is needed
        this.running = null;
        return this.take(job);
    }

    change(job: Job): Promise<void> {
        return this.keep(job).then(() => this.show());
    }

    go(place: Place): Promise<void> {
        return this.change(go(this.job, place));
    }

    private async take(job: Job): Promise<void> {
        this.job = job;
        try {
            await this.store.keep(job);
            this.lost = "";
        } catch (error) {
            this.lost = String(error);
        }
    }

    show(): void {
        const focused = document.activeElement?.id,
            place = this.job.place;
        const ways = h(
            "nav",
            { class: "row screen", "aria-label": "Places of the job" },
            ...(Object.keys(PLACES) as Place[]).map((to) =>
                h(
                    "button",
                    {
                        "aria-current": to === place ? "page" : undefined,
                        disabled: !this.reached(to),
                        click: () => void this.go(to),
                    },
                    PLACES[to].title,
                ),
            ),
        );
        this.root.className = "";
        this.root.replaceChildren(
            ways,
            ...(this.lost
                ? [
                      h(
                          "p",
                          { class: "note stop", role: "alert" },
                          "This device keeps nothing: write the readings down. ",
                          this.lost,
                      ),
                  ]
                : []),
            h("div", { class: "screen" }, ...PLACES[place].view(this)),
            jobsView(this),
        );
        if (focused) document.getElementById(focused)?.focus({ preventScroll: true });
    }

    /** The sheet is made when it is to be printed. */
    private print(): void {
        if (!this.root.querySelector("nav")) return; // in class
        this.root.querySelector(".sheet")?.remove();
        this.root.append(sheet(this));
    }

    /** Where one can go: what has been done, and the next thing. */
    private reached(place: Place): boolean {
        const asked = setupOf(this.job.answers).faults.length === 0;
        return (
            place === "ready" ||
            place === "questions" ||
            (asked && (place !== "verdict" || this.job.readings.length > 0))
        );
    }
}
