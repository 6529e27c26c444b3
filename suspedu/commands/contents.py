"""The files of the course's own server: notebooks are saved with stills, and opened live where their kernel runs."""

from __future__ import annotations

from jupyter_server.services.contents.largefilemanager import AsyncLargeFileManager

from suspedu.commands import rider_path, saved_pages


class CourseContents(AsyncLargeFileManager):
    """The server's own files, with `saved_pages` between them and the page."""

    async def get(self, path, content=True, type=None, format=None, **options):
        """A file or folder; of a notebook, what can live does, and on the rider's path the rest is folded."""
        model = await super().get(path, content=content, type=type, format=format, **options)
        if model["type"] == "notebook" and model.get("content"):
            saved_pages.woken(model["content"], await self._kernel(path))
            if rider_path.chosen() and path.strip("/").startswith("lessons/"):
                rider_path.fold(model["content"])
        return model

    async def save(self, model, path=""):
        """Save a file; a notebook with stills of what its widgets show."""
        if model.get("type") == "notebook" and model.get("content"):
            try:
                saved_pages.kept(model["content"], await self._kernel(path))
            except (AttributeError, KeyError, TypeError, ValueError):  # a state of another form; the work is saved
                self.log.exception("no stills of %s", path)
        return await super().save(model, path)

    async def _kernel(self, path: str) -> str:
        """The process behind a notebook, by its kernel's id and its own; "" where none runs."""
        for session in await self.parent.session_manager.list_sessions():
            if session["path"].strip("/") == path.strip("/") and session.get("kernel"):
                kernel = self.parent.kernel_manager.get_kernel(session["kernel"]["id"])
                if getattr(kernel, "shutting_down", False) or not await kernel.is_alive():
                    return ""
                return f"{session['kernel']['id']} {getattr(kernel.provisioner, 'pid', None)}"
        return ""
