// SPDX-License-Identifier: GPL-3.0-or-later
// What has been entered, kept on this device. Every change is on its way to the disk before
// the next is asked for: a closed tab or an empty battery loses nothing.

const NAME = "dialarc",
    SHELF = "jobs";

function answer<T>(request: IDBRequest<T>): Promise<T> {
    return new Promise((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
    });
}

export interface Kept {
    id: number;
}

export class Store<T extends Kept> {
    private constructor(private readonly base: IDBDatabase) {}

    static async open<T extends Kept>(): Promise<Store<T>> {
        const request = indexedDB.open(NAME, 1);
        request.onupgradeneeded = () => request.result.createObjectStore(SHELF, { keyPath: "id" });
        return new Store<T>(await answer(request));
    }

    /** Resolves when it is on the disk. */
    keep(job: T): Promise<void> {
        const change = this.base.transaction(SHELF, "readwrite", { durability: "strict" });
        change.objectStore(SHELF).put(job);
        return new Promise((resolve, reject) => {
            change.oncomplete = () => resolve();
            change.onabort = () => reject(change.error);
        });
    }

    all(): Promise<T[]> {
        return answer(this.base.transaction(SHELF).objectStore(SHELF).getAll());
    }

    async strike(id: number): Promise<void> {
        await answer(this.base.transaction(SHELF, "readwrite").objectStore(SHELF).delete(id));
    }
}
