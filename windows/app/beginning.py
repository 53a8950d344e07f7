async def new(request):
    raise NotImplementedError
